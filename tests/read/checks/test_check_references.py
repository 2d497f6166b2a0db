"""Names that must be known."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]


@pytest.mark.parametrize(
    ("pieces", "rule", "line", "column", "message", "hint"),
    [
        (("tools: [multimeter]", "tools: [multimetre]"), "unknown-tool", 36, 13,
         "no tool `multimetre`", "did you mean `multimeter`?"),
        (("[speed-switch]", "[speed-switsch]"), "unknown-part", 44, 87,
         "no part `speed-switsch`", "did you mean `speed-switch`?"),
        (("[speed-switch]", "{other: 2}"), "unknown-part", 44, 87,
         "no part `other`", "add to catalogue/parts.yaml: `other: {name: Other, price: …}`"),
        (("access: [glovebox]", "access: [glovebox, wheel]"), "unknown-access", 21, 24,
         "no access job `wheel`", "add to catalogue/access.yaml: `wheel: {name: Wheel, open: …, close: …}`"),
        (("hazards: [hot-parts]", "hazards: [hot-part]"), "unknown-hazard", 22, 15,
         "no hazard `hot-part`", "did you mean `hot-parts`?"),
        (("hazards: [hot-parts]", "no_hazards: {hot-part: x}"), "unknown-hazard", 22, 18,
         "no hazard `hot-part`", "did you mean `hot-parts`?"),
        (("settles: [switch]", "settles: [swich]"), "unknown-cause", 44, 59,
         "no cause `swich`", "did you mean `switch`?"),
        (("{plug: 95%", "{plugg: 95%"), "unknown-cause", 26, 18, "no cause `plugg`", "did you mean `plug`?"),
        (("tools: [multimeter]", "tools: [--lost--]"), "unknown-tool", 36, 13,
         "no tool `--lost--`", "add to catalogue/tools.yaml: `--lost--: {name: Lost, price: …}`"),
        (("tools: [multimeter]", "tools: [constructor]"), "unknown-tool", 36, 13,
         "no tool `constructor`", "add to catalogue/tools.yaml: `constructor: {name: Constructor, price: …}`"),
    ],
)  # fmt: skip
def test_a_name_that_is_not_known_is_found(
    found: Found, pieces: tuple[str, str], rule: str, line: int, column: int, message: str, hint: str
) -> None:
    (finding,) = found(*pieces)
    assert (finding.rule, finding.line, finding.column, finding.severity) == (rule, line, column, "error")
    assert (finding.message, finding.hint) == (message, hint)


@pytest.mark.parametrize("slug", ["fann", "--lost--", "constructor"])
def test_a_hand_over_names_a_playbook(found: Found, slug: str) -> None:
    (finding,) = found("next: new-plug", f"next: {{playbook: {slug}}}")
    assert (finding.rule, finding.line, finding.column) == ("unknown-playbook", 27, 26)
    assert (finding.message, finding.severity) == (f"no playbook `{slug}`", "error")


@pytest.mark.parametrize("settles", ["all", "[all]", "[unlisted]", "[plug, switch]"])
def test_endings_may_settle_all_and_what_is_unlisted(found: Found, settles: str) -> None:
    assert found("settles: [switch]", f"settles: {settles}") == []


def test_lifting_and_timing_are_always_known(found: Found) -> None:
    assert found("hazards: [hot-parts]", "hazards: [hot-parts, lifting, timing]") == []
