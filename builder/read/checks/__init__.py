"""Checks: small functions over a reading, each named as the rule of the finding that it gives."""

from typing import Final

from builder.read.checks.chances import (
    chance_otherwise,
    chance_partial,
    chance_sum,
    share_partial,
    share_sum,
    unlisted_large,
)
from builder.read.checks.extent import flowchart_left_out, too_fine, too_heavy, too_many
from builder.read.checks.graph import (
    circle,
    missing_way,
    name_twice,
    no_way_out,
    not_after,
    unknown_after,
    unknown_next,
    unreachable,
)
from builder.read.checks.hazards import hazard_denied, hazard_dropped, hazard_implied, hazard_word
from builder.read.checks.notes import bad_code, no_time, prove_never
from builder.read.checks.plausible import draft_text, long_work, named_twice, same_words, unfinished
from builder.read.checks.prose import bad_link, no_alt, raw_html
from builder.read.checks.readings import range_alone, range_gap
from builder.read.checks.references import (
    unknown_access,
    unknown_cause,
    unknown_check,
    unknown_hazard,
    unknown_part,
    unknown_playbook,
    unknown_tool,
)
from builder.read.reading import Check

CHECKS: Final[tuple[Check, ...]] = (
    too_many,
    too_heavy,
    too_fine,
    name_twice,
    missing_way,
    no_way_out,
    unknown_next,
    circle,
    unreachable,
    unknown_after,
    not_after,
    unknown_tool,
    unknown_part,
    unknown_access,
    unknown_hazard,
    unknown_check,
    unknown_cause,
    unknown_playbook,
    share_sum,
    share_partial,
    chance_partial,
    chance_otherwise,
    chance_sum,
    unlisted_large,
    hazard_word,
    hazard_implied,
    hazard_dropped,
    hazard_denied,
    bad_code,
    no_time,
    prove_never,
    range_alone,
    range_gap,
    bad_link,
    no_alt,
    raw_html,
    long_work,
    same_words,
    named_twice,
    unfinished,
    draft_text,
    flowchart_left_out,
)
