"""Doubts about a theme: what replaces nothing, and languages without words."""

from pathlib import Path

import pytest

from builder.publish.pages.doubts import theme_doubts
from builder.publish.pages.theme import BUILT_IN, theme_at
from builder.read.records import Settings

SETTINGS = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}


def doubts(folder: Path | None, language: str = "en") -> list[tuple[str, str, str]]:
    settings = Settings.model_validate({**SETTINGS, "language": language})
    theme = theme_at(folder) if folder else BUILT_IN
    found = theme_doubts(theme, settings, "library")
    return [(one.file.rsplit("/", 2)[-1], one.rule, one.hint) for one in found]


def write(folder: Path, *names: str) -> Path:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text('{% include "mine.html" %}' if name.endswith("home.html") else "x", encoding="utf-8")
    return folder


def test_what_replaces_or_is_named_is_not_doubted(tmp_path: Path) -> None:
    assert doubts(write(tmp_path, "templates/home.html", "templates/mine.html", "assets/logo.svg", "README.md")) == []


def test_what_replaces_nothing_is_a_finding(tmp_path: Path) -> None:
    folder = write(tmp_path, "templates/playbok.html", "assets/crd.css", "style.css", "asset/x.css")
    assert doubts(folder) == [
        ("asset", "theme-idle", "did you mean `assets`?"),
        ("style.css", "theme-idle", "known: `assets`, `locale`, `scripts`, `templates`, `trade`"),
        ("playbok.html", "theme-idle", "did you mean `playbook.html`?"),
        ("crd.css", "theme-idle", "did you mean `card.css`?"),
    ]


@pytest.mark.parametrize(("language", "words"), [("en-GB", True), ("de-AT", True), ("fr", False), ("ar", False)])
def test_a_language_without_words_is_a_finding(language: str, words: bool) -> None:
    assert [rule for _, rule, _ in doubts(None, language)] == ([] if words else ["no-theme-words"])
