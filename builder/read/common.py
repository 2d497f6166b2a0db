"""Common checks: what a step takes from one of the catalogue, put into the step before it is read as a record."""

from collections.abc import Mapping
from copy import deepcopy
from typing import Any, Final

from builder.read.nodes import Location

Plain = dict[str, Any]
"""What a file says: text, lists and mappings."""

NOT_TAKEN: Final = frozenset({"about", "results", "accept", "no_hazards"})
"""What a check says for itself alone; its results are taken one by one, its denials together with the step's."""


def with_checks(playbook: Plain, checks: Mapping[str, Plain]) -> Plain:
    """A playbook in plain text in which every step with `check` says what the check says; its own words go first."""
    steps = playbook.get("steps")
    if not isinstance(steps, dict):
        return playbook
    return {**playbook, "steps": {name: _with_check(step, checks) for name, step in steps.items()}}


def is_said_by_check(playbook: Plain, location: Location) -> bool:
    """Whether a common check says, or ought to say, what a step leaves out at a location of its playbook."""
    match location:
        case ("steps", name, "title") | ("steps", name, "results", _, "expect"):
            return "check" in playbook["steps"][name]
    return False


def _with_check(step: Any, checks: Mapping[str, Plain]) -> Any:
    if not isinstance(step, dict) or not isinstance(step.get("check"), str):
        return step
    check = deepcopy(checks.get(step["check"], {}))
    taken = {key: value for key, value in check.items() if key not in NOT_TAKEN}
    answers = [one.get("no_hazards") for one in (check, step)]
    denied = {key: why for one in answers if isinstance(one, dict) for key, why in one.items()}
    whole = {**taken, **step, **({"no_hazards": denied} if denied else {})}
    if isinstance(step.get("results"), dict):
        whole["results"] = _results(step["results"], check.get("results"))
    return whole


def _results(own: Plain, said: Any) -> Plain:
    """The step's results with what the check says of each; one that the check does not know keeps its own words."""
    known = {name: one for name, one in said.items() if isinstance(one, dict)} if isinstance(said, dict) else {}
    return {
        name: {**known.get(name, {}), **result} if isinstance(result, dict) else result for name, result in own.items()
    }
