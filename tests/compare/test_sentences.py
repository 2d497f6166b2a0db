"""Sentences that changed, and nothing of those that did not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compare.sentences import changed_sentences


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("Pull it. Leave it shut.", "Pull it. Leave it open.", [("Leave it shut.", "Leave it open.")]),
        ("Pull it. Stop here.", "Pull it.", [("Stop here.", "")]),
        ("Pull it.", "Stop here. Pull it.", [("", "Stop here.")]),
        ("- one\n- two\n", "- one\n- three\n", [("- two", "- three")]),
        ("Pull  it.\nStop.", "Pull it. Stop.", []),
        ("", "Stop.", [("", "Stop.")]),
        ("", "", []),
        ("A. B. C.", "A. X. C. Y.", [("B.", "X."), ("", "Y.")]),
    ],
)
def test_only_what_changed_is_told(old: str, new: str, expected: list[tuple[str, str]]) -> None:
    assert list(changed_sentences(old, new)) == expected


def test_a_change_deep_in_a_long_sentence_stands_near_its_beginning() -> None:
    words = [f"w{n}" for n in range(60)]
    [(before, after)] = changed_sentences(" ".join(words), " ".join([*words[:40], "open", *words[41:]]))
    assert before == "… w34 w35 w36 w37 w38 w39 w40 w41 w42 w43 w44 w45 w46 …"
    assert after == before.replace("w40", "open")


def test_what_a_long_sentence_loses_is_whole() -> None:
    words = [f"w{n}" for n in range(60)]
    [(before, after)] = changed_sentences(" ".join(words), " ".join(words[:10] + words[50:]))
    assert before == " ".join(["…", *words[4:56], "…"])
    assert after == " ".join(["…", *words[4:10], *words[50:56], "…"])


TEXT = st.lists(st.sampled_from(["Pull it.", "Stop.", "Leave it shut!", "so - and so"]), max_size=8).map(" ".join)


@given(TEXT, TEXT)
def test_texts_without_a_change_are_the_same_but_for_white_space(old: str, new: str) -> None:
    assert bool(list(changed_sentences(old, new))) == (old.split() != new.split())
