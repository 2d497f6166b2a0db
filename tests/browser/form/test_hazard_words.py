"""Hazard words in the form: in plain spelling they are found where the check of the library finds them."""

from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page

from builder.publish.data.formdata import hazard_words
from builder.read.checks.hazards import caller_of
from builder.read.records import Library
from tests.demo import demo_library

ROOT: Final = Path(__file__).resolve().parents[3]
LISTS: Final = sorted((ROOT / "tests/read/words/lists").glob("*.txt"))
CALLED: Final = """([texts, words]) => {
    const { called } = droplight.hazardwords;
    return texts.map((text) => [...called(text, words).keys()].sort());
}"""
ALIKE: Final = 0.97
"""How many sentences of a language must be judged alike: slips and disguises are the check's alone."""


@pytest.fixture(scope="module")
def library() -> Library:
    return demo_library()


def in_language(library: Library, language: str) -> Library:
    return library.model_copy(update={"settings": library.settings.model_copy(update={"language": language})})


@pytest.mark.parametrize("language", ["en", "de"])
def test_sentences_call_for_the_hazards_that_the_library_finds(language: str, scripts: Page, library: Library) -> None:
    spoken = in_language(library, language)
    caller = caller_of(spoken.settings, spoken.catalogue)
    lists = (path.read_text(encoding="utf-8") for path in LISTS if f".{language}." in path.name)
    texts = [line.partition("#")[0].strip() for whole in lists for line in whole.splitlines()]
    texts = [text.partition(": ")[2] if text.startswith(("lifting: ", "timing: ")) else text for text in texts if text]
    shown: list[Any] = scripts.evaluate(CALLED, [texts, hazard_words(spoken)])
    wanted = [sorted({call.hazard for call in caller.calls(text)}) for text in texts]
    other = [(text, one, two) for text, one, two in zip(texts, shown, wanted, strict=True) if one != two]
    assert len(texts) - len(other) >= ALIKE * len(texts), other[:10]


@pytest.mark.parametrize(
    ("text", "hazards"),
    [
        ("Jack up the car and put it on stands.", ["lifting"]),
        ("JACK UP\nthe car.", ["lifting"]),
        ("Look at the fuse.", []),
        ("Take the cover off the timing belt.", ["timing"]),
    ],
)
def test_plain_sentences(text: str, hazards: list[str], scripts: Page, library: Library) -> None:
    assert scripts.evaluate(CALLED, [[text], hazard_words(library)]) == [hazards]
