"""Shares and chances: they must be complete and add up."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.read.findings import WARNING, Finding, in_ticks
from builder.read.notation import UNLISTED, Chance
from builder.read.reading import Reading
from builder.read.records import Step

TOLERANCE: Final = Fraction(5, 10_000)
"""Chances of a step add up to 1 within 0.05 percentage points."""


def percent(share: Fraction) -> str:
    """A share in per cent, with up to four decimals."""
    return f"{float(share * 100):.4f}".rstrip("0").rstrip(".") + " %"


def share_sum(reading: Reading) -> Iterator[Finding]:
    """Shares of causes add up to at most 100 %."""
    total = sum((cause.share or Fraction(0) for cause in reading.playbook.causes.values()), Fraction(0))
    if total > 1:
        message = f"the shares of the causes add up to {percent(total)}"
        hint = "lower them to 100 % at most; what is left over is `unlisted`"
        yield reading.finding(("causes",), "share-sum", message, hint, key=True)


def share_partial(reading: Reading) -> Iterator[Finding]:
    """Either every cause has a share, or none."""
    causes = reading.playbook.causes
    without = [name for name, cause in causes.items() if cause.share is None]
    if len(without) < len(causes):
        for name in without:
            if "share" in reading.node.at(("causes", name)).entries:
                continue
            message = f"the cause `{name}` has no share, but others have"
            yield reading.finding(
                ("causes", name), "share-partial", message, "give each one a share, or none", key=True
            )


def chance_partial(reading: Reading) -> Iterator[Finding]:
    """Either every result of a step has a chance, or none."""
    for name, step in reading.playbook.steps.items():
        without = [key for key, result in step.results.items() if result.chance is None]
        if len(without) < len(step.results):
            for key in without:
                location = ("steps", name, "results", key)
                if "chance" not in reading.node.at(location).entries:
                    message = f"the result `{key}` has no chance, but others of `{name}` have"
                    hint = "write `chance: rest`, or a percentage"
                    yield reading.finding(location, "chance-partial", message, hint, key=True)


def _causes(reading: Reading) -> list[str]:
    """The causes to which chances must speak; ``unlisted`` where the shares are known to leave room for it."""
    shares = reading.playbook.shares
    names = list(reading.playbook.causes)
    if _is_torn(reading):
        return names
    return [*names, UNLISTED] if shares is None or shares[UNLISTED] > 0 else names


def _is_torn(reading: Reading) -> bool:
    """Whether a cause or a share had a finding of its own, so that nobody knows what they add up to."""
    causes = reading.node.child("causes")
    return reading.is_lost(("causes",)) or bool(causes and causes.is_torn)


def chance_otherwise(reading: Reading) -> Iterator[Finding]:
    """A chance by cause speaks of every cause, by name or with ``otherwise``."""
    causes = _causes(reading)
    for name, step in reading.playbook.steps.items():
        for key, result in step.results.items():
            chance = result.chance
            if chance is None or chance.rest or chance.otherwise is not None:
                continue
            missing = [cause for cause in causes if cause not in chance.by_cause]
            if missing and _speaks_of_known(chance, reading):
                message = "the chance does not say what holds for " + in_ticks(missing)
                hint = "add `otherwise: …` for all causes that are not named"
                yield reading.finding(("steps", name, "results", key, "chance"), "chance-otherwise", message, hint)


def chance_sum(reading: Reading) -> Iterator[Finding]:
    """Under each cause, the chances of a step's results add up to 100 % (:data:`TOLERANCE`)."""
    for name, step in reading.playbook.steps.items():
        rests = [key for key, result in step.results.items() if result.chance and result.chance.rest]
        for key in rests[1:]:
            location = ("steps", name, "results", key, "chance")
            message = f"`rest` stands twice in the step `{name}`"
            yield reading.finding(location, "chance-sum", message, "only one result can be the rest")
        lost = reading.has_lost(("steps", name, "results"))
        chances = [result.chance for result in step.results.values()]
        known = all(chance and _speaks_of_known(chance, reading) for chance in chances)
        if lost or not known or len(rests) > 1:
            continue
        totals = [(cause, _total(step, cause, bool(rests))) for cause in _causes(reading)]
        wrong = [(cause, total) for cause, total in totals if total is not None]
        if wrong:
            said = ", ".join(f"for `{cause}` {percent(total)}" for cause, total in wrong)
            message = f"the chances of the step `{name}` do not add up to 100 %: {said}"
            hint = "mend the percentages, or write `chance: rest` at one result"
            yield reading.finding(("steps", name, "results"), "chance-sum", message, hint, key=True)


def _speaks_of_known(chance: Chance, reading: Reading) -> bool:
    """Whether every cause that a chance names is one; a name that is wrong has a finding of its own."""
    return chance.by_cause.keys() <= {*reading.playbook.causes, UNLISTED}


def _total(step: Step, cause: str, has_rest: bool) -> Fraction | None:
    """The sum of a step's chances under a cause where it is wrong; ``None`` where it is right or unknown."""
    given = [result.chance.given(cause) for result in step.results.values() if result.chance and not result.chance.rest]
    if any(chance is None for chance in given):
        return None
    total = sum((chance for chance in given if chance is not None), Fraction(0))
    over, under = total > 1 + TOLERANCE, total < 1 - TOLERANCE
    return total if over or (under and not has_rest) else None


def unlisted_large(reading: Reading) -> Iterator[Finding]:
    """More than a quarter of the cases have a cause that the playbook does not name."""
    shares = reading.playbook.shares
    if shares and shares[UNLISTED] > Fraction(1, 4) and not _is_torn(reading):
        message = f"{percent(shares[UNLISTED])} of the cases have a cause that the playbook does not name"
        hint = "name further causes, or raise the shares of those that are there"
        yield reading.finding(("causes",), "unlisted-large", message, hint, WARNING, key=True)
