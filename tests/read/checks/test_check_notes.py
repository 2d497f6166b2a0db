"""Single fields: trouble codes, times, trials."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]


def test_a_code_has_the_form_of_the_standard(found: Found) -> None:
    (finding,) = found("codes: []", "codes: [P0128, p0128, U0100]")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("bad-code", 7, 18, "error")
    assert finding.message == "`p0128` is not a trouble code"
    assert finding.hint == "a code is P, C, B or U, a digit 0-3 and three of 0-9, A-F in capitals, e.g. `P0128`"


@pytest.mark.parametrize("code", ["P0128", "C1234", "B2ABC", "U3FFF"])
def test_codes_of_the_form_are_let_pass(found: Found, code: str) -> None:
    assert found("codes: []", f"codes: [{code}]") == []


def test_a_step_without_a_time_is_a_warning(found: Found) -> None:
    (finding,) = found("    time: 10-20 min\n", "")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("no-time", 15, 3, "warning")
    assert finding.message == "the step `look-at-plug` has no time and counts as 0 min"
    assert finding.hint == "add `time: …`"


def test_a_time_of_nothing_is_a_time(found: Found) -> None:
    assert found("time: 10-20 min", "time: 0") == []


def test_a_trial_that_never_shows_the_fault_proves_nothing(found: Found) -> None:
    (finding,) = found("shows: 60%", "shows: 0%")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("prove-never", 43, 64, "error")
    assert finding.message == "a fault that shows in 0 % of the trials can never be proven gone"
    assert finding.hint == "write the share of trials in which the fault shows"
