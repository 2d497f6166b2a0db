"""Phrases as patterns over signs; here each class has one sign, its own letter."""

import re

import pytest

from builder.read.words.phrases import pattern_of, terms


def found(phrase: str, signs: str, parts: dict[str, tuple[str, ...]] | None = None) -> str | None:
    match = re.search(pattern_of(phrase, str.lower, parts or {}), signs)
    return match[0] if match else None


@pytest.mark.parametrize(
    ("phrase", "signs", "expected"),
    [
        ("A B", "xab", "ab"),
        ("A B", "a b", None),
        ("A|B C", "bc", "bc"),
        ("A B? C", "ac", "ac"),
        ("A B* C", "abbbbc", "abbbbc"),
        ("A B* C", "abbbbbc", None),
        ("A B+ C", "ac", None),
        ("A B+ C", "abbc", "abbc"),
        ("A ..2 B", "axxb", "axxb"),
        ("A ..2 B", "axxxb", None),
        ("A ..2 B", "a,b", None),
        ("A ...2 B", "a,b", "a,b"),
        ("A ...2 B", "a\nb", None),
        ("A ..2-C-D B", "axb", "axb"),
        ("A ..2-C-D B", "adb", None),
        ("A ,? B", "a,b", "a,b"),
        ("A ,? B", "ab", "ab"),
        ("A &B", "ab", "a"),
        ("A &B", "a", "a"),
        ("A &B", "a,", "a"),
        ("A &B", "ax", None),
        ("A &END", "a\n", "a"),
        ("A &END", "ab", None),
        ("A !B", "ax", "a"),
        ("A !B", "ab", None),
        ("<B A", "ba", "a"),
        ("<B A", "xa", None),
        ("<!B A", "xa", "a"),
        ("<!B A", "ba", None),
        ("A $P", "abc", "abc"),
        ("A $P", "ad", "ad"),
    ],
)
def test_each_notation(phrase: str, signs: str, expected: str | None) -> None:
    assert found(phrase, signs, {"P": ("B C", "D")}) == expected


def test_an_equals_sign_makes_a_group() -> None:
    assert re.search(pattern_of("A =B", str.lower, {}), "ab").span(1) == (1, 2)  # type: ignore[union-attr]


def test_terms_name_classes_and_words() -> None:
    assert terms("A|on ..3-B $P ,? &END !C <!D =e* &F") == ["A", "on", "B", "C", "D", "e", "F"]


@pytest.mark.parametrize("phrase", ["A &", "A ??", "$NONE"])
def test_what_is_no_term_is_an_error(phrase: str) -> None:
    with pytest.raises((KeyError, ValueError)):
        pattern_of(phrase, str.lower, {})
