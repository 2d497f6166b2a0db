"""A playbook's text in another order: what is asked for changes, and nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.format.rewrite import RewriteError, rewritten
from builder.read.nodes import parse_nodes
from builder.read.source import Source

TEXT = """\
# What this is about.
title: X   # a name
start:  "look"  # first
steps:
  look:
    results:
      yes: {expect: 'next: look', next: listen}   # why
      no:
        next: 'mend'

        expect: |
          next: mend
  listen: {results: {loud: {next: mend}, still: {next: {playbook: other}}}}
"""
WAYS = {"look": {"yes": "mend", "no": "mend"}, "listen": {"loud": "look", "still": {"playbook": "other"}}}


def test_names_change_in_their_quotes_and_all_else_stays() -> None:
    new = rewritten(TEXT, "listen", WAYS)
    assert new == TEXT.replace('"look"', '"listen"').replace("next: listen}", "next: mend}").replace(
        "{loud: {next: mend}", "{loud: {next: look}"
    )


def test_twice_is_once() -> None:
    new = rewritten(TEXT, "listen", WAYS)
    assert rewritten(new, "listen", WAYS) == new


def test_the_same_order_is_the_same_text() -> None:
    ways = {"look": {"yes": "listen", "no": "mend"}, "listen": {"loud": "mend"}}
    assert rewritten(TEXT, "look", ways) == TEXT


def test_line_ends_and_the_mark_at_the_beginning_stay() -> None:
    text = "\ufeff" + TEXT.replace("\n", "\r\n")
    new = rewritten(text, "listen", WAYS)
    assert new == "\ufeff" + rewritten(TEXT, "listen", WAYS).replace("\n", "\r\n")


@pytest.mark.parametrize(
    "text",
    [
        TEXT.replace('"look"', ">\n  look"),
        TEXT.replace('"look"', '"lo\\x6fk"'),
        TEXT.replace('start:  "look"  # first\n', ""),
        TEXT.replace("next: listen}", "next: {playbook: other}}"),
        TEXT + "steps: {}\n",
        "",
    ],
    ids=["folded", "escaped", "missing", "another playbook", "twice", "empty"],
)
def test_what_is_not_written_plainly_is_refused(text: str) -> None:
    with pytest.raises(RewriteError):
        rewritten(text, "listen", WAYS)


@given(name=st.from_regex(r"[a-z][a-z0-9]{0,8}(-[a-z0-9]{1,5}){0,2}", fullmatch=True))
def test_any_name_can_be_read_again(name: str) -> None:
    new = rewritten(TEXT, name, {"look": {"yes": name}})
    root, findings = parse_nodes(Source("x", new))
    assert root is not None
    assert findings == []
    assert root.at(("start",)).text == root.at(("steps", "look", "results", "yes", "next")).text == name
