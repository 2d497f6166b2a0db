"""Words around figures as data."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import builder.draw.words
from builder.draw import quantities as finding
from builder.draw.words import language as reading
from builder.draw.words.language import choice, languages, read_language, words_of

OF_DRAWING = Path(builder.draw.words.__file__).parent


def test_every_language_of_the_theme_has_its_words() -> None:
    spoken = {path.name for path in (OF_DRAWING.parents[2] / "theme/locale").iterdir() if path.is_dir()}
    assert languages() == {"en", *spoken}


def test_a_locale_is_read_with_its_language_and_english() -> None:
    english, german = read_language("en"), read_language("de")
    assert words_of("de_AT").to == (*german.to, *english.to)
    assert words_of("en_GB") == english
    assert words_of("fr") == english


@pytest.mark.parametrize(
    ("word", "text", "found"),
    [
        ("nut", "the nut", True),
        ("nut", "a nutcracker", False),
        ("motor*", "motors", True),
        ("motor*", "a Motorboot", True),
        ("motor*", "bimotor", False),
        ("*nuss", "Stecknuss", True),
        ("*nuss", "Nussbaum", False),
        ("ris* _ to", "rises slowly to", True),
        ("ris* _ to", "rises to", False),
        ("ca.", "ca. 5", True),
        ("ca.", "cab 5", False),
    ],
)
def test_notation_of_words(word: str, text: str, found: bool) -> None:
    assert bool(re.search(choice([word]), text, re.IGNORECASE)) is found


@pytest.fixture
def third(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder of languages with one more, made of nothing but its file."""
    english = (OF_DRAWING / "en.yaml").read_text(encoding="utf-8")
    (tmp_path / "en.yaml").write_text(english, encoding="utf-8")
    changed = english.replace("reading: [", "reading: [glorp, ").replace("trade: [", "trade: ['*zwin', ")
    (tmp_path / "eo.yaml").write_text(changed, encoding="utf-8")
    monkeypatch.setattr(reading, "_HERE", tmp_path)
    caches = (words_of, finding._signs_of, finding.quantities)
    for cache in caches:
        cache.cache_clear()
    yield tmp_path
    for cache in caches:
        cache.cache_clear()


def test_a_third_language_is_a_file(third: Path) -> None:
    told = finding.quantities("glorp 98 °C with a 10 mm brizwin", "eo")
    assert [one.other.replace("\u00a0", " ") for one in told] == ["208 °F"]
    assert [one.other.replace("\u00a0", " ") for one in finding.quantities("glorp 98 °C", "en")] == []


def test_a_file_says_all_of_it_and_nothing_else(third: Path) -> None:
    text = (third / "eo.yaml").read_text(encoding="utf-8")
    for wrong in (text.replace("about:", "abaut:"), f"{text}more: [words]\n"):
        (third / "eo.yaml").write_text(wrong, encoding="utf-8")
        with pytest.raises(ValueError, match=r"abaut|more"):
            read_language("eo")
