"""Browser and build take the same words out of a text, and read the same numbers."""

import random
from typing import Final

import pytest

from builder.publish.data.terms import words_of
from builder.publish.data.texts import Texts, coded

TEXTS: Final = [
    "Won't start!", "won’t", "Kühlwasser läuft über Füße", "at 60mph, 12.4 V ±0.2", "pull-in relay / fuse_box", "",
    "ÉCLAIR naïve", "Größe ẞ",
    "Ελληνικά Ω", "Привет мир", "日本語 テスト", "½ turn", "a\u00a0b\u200bc", "x²", "İstanbul", "e\u0301",
]  # fmt: skip


def test_words_are_the_same_in_browser_and_build(modules, libraries) -> None:
    texts = TEXTS + [
        playbook.symptom.summary for library in libraries.values() for playbook in library.playbooks.values()
    ]
    found = modules.evaluate("(texts) => texts.map((text) => droplight.terms.wordsOf(text))", texts)
    assert dict(zip(texts, found, strict=True)) == {text: words_of(text) for text in texts}


def test_numbers_that_the_build_coded_are_read(modules) -> None:
    choose = random.Random(1)
    numbers = [
        0,
        49,
        50,
        2779,
        2780,
        85589,
        85590,
        753571,
        *(choose.randrange(754_000) % 10 ** choose.randrange(1, 6) for _ in range(500)),
    ]
    assert modules.evaluate("(text) => droplight.coded.numbers(text)", coded(numbers)) == numbers


def test_texts_that_the_build_coded_are_read(modules) -> None:
    texts = Texts(["the pump hums", "the pump"])
    given = [texts.coded("the pump hums", "the pump"), texts.coded("pump"), ""]
    read = modules.evaluate(
        "([given, words]) => given.map((text) => droplight.coded.texts(text, words))", [given, list(texts.words)]
    )
    assert read == [["the pump hums", "the pump"], ["pump"], []]


@pytest.mark.parametrize(
    ("word", "bases"),
    [
        ("squealing", {"squealing", "squeal"}),
        ("stopping", {"stopping", "stopp", "stop"}),
        ("ring", {"ring"}),
        ("ed", {"ed"}),
    ],
)
def test_bases_are_what_is_left_without_a_suffix(word: str, bases: set[str], modules) -> None:
    assert set(modules.evaluate("(word) => droplight.terms.bases(word, ['ing', 'ed', 's'])", word)) == bases
