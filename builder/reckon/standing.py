"""Where the odds stand at every step and ending: how often it is reached, and which causes are then left."""

from collections.abc import Mapping
from dataclasses import dataclass

from builder.reckon.amounts import share_sum
from builder.reckon.reckoning import Reckoning


@dataclass(frozen=True, slots=True)
class Standing:
    """One node of the graph. ``reached`` is a share of all cases, ``causes`` are shares of 1 of the cases there.

    ``right`` is how often an ending puts the true cause right when it is reached; ``mistaken`` the cause that it
    does not put right and that is most often there. Both are ``None`` where nothing is repaired, and ``causes`` and
    both are ``None`` where the node is never reached.
    """

    reached: float
    causes: Mapping[str, float] | None
    right: float | None
    mistaken: str | None


def standings(reckoning: Reckoning) -> list[Standing]:
    """The standing of every node, by its number."""
    return [_standing(reckoning, i, row) for i, row in enumerate(reckoning.reach)]


def _standing(reckoning: Reckoning, i: int, row: tuple[float, ...]) -> Standing:
    reached = share_sum(row)
    if reached <= 0:
        return Standing(0.0, None, None, None)
    causes = {cause: min(1.0, chance / reached) for cause, chance in zip(reckoning.given_odds.causes, row, strict=True)}
    if not reckoning.given_odds.repairs[i]:
        return Standing(reached, causes, None, None)
    rights = dict(zip(reckoning.given_odds.causes, reckoning.given_odds.rights[i], strict=True))
    wrong = {cause: share for cause, share in causes.items() if not rights[cause] and share > 0}
    return Standing(
        reached,
        causes,
        share_sum(share for cause, share in causes.items() if rights[cause]),
        max(wrong, key=lambda cause: wrong[cause], default=None),
    )


def result_chances(reckoning: Reckoning) -> list[list[float]]:
    """For every node, the chance that a path takes each of its results, as a share of all cases."""
    rows = reckoning.reach
    return [
        [share_sum(a * b for a, b in zip(rows[i], chances, strict=True)) for chances in edges]
        for i, edges in enumerate(reckoning.given_odds.likelihoods)
    ]
