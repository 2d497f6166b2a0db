"""Words: every text of the theme is in the catalogues, German is complete, and a library's language chooses."""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import html5lib
import pytest
from babel.messages.catalog import Message
from jinja2 import Environment

from builder.publish.pages.collect import files, template
from builder.publish.pages.theme import theme_folder
from builder.publish.pages.words import in_language, read_catalogue, words_of
from builder.read.hazards import BUILT_IN
from builder.read.library import read_library
from builder.read.records import Settings

ROOT: Final = Path(__file__).resolve().parents[3]
GERMAN: Final = theme_folder() / "locale" / "de" / "LC_MESSAGES" / "droplight.po"
CALL: Final = re.compile(r'(?<![\w.])say\(\s*("(?:[^"\\]|\\.)*")')
PLACEHOLDER: Final = re.compile(r"%\(\w+\)s|%%|\{\w+\}")
SHOWN: Final = ("aria-label", "title", "alt", "placeholder")
SETTINGS: Final = {"title": "Test library", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}


def sides(message: Message) -> list[tuple[str, str]]:
    """Texts of a message with their translations; a plural has two or more."""
    if isinstance(message.id, str):
        return [(message.id, str(message.string))]
    return [(message.id[min(k, 1)], text) for k, text in enumerate(message.string)]


@pytest.fixture(scope="module")
def german() -> list[Message]:
    return [message for message in read_catalogue(GERMAN) if message.id]


# --- The catalogues


def test_catalogues_hold_the_texts_that_there_are() -> None:
    """What is out of date is written anew by ``make words``."""
    assert {path: path.read_bytes() for path in files()} == files()


def test_every_text_of_a_script_is_in_the_catalogue() -> None:
    known = {message.id for message in template()}
    scripts = sorted((theme_folder() / "scripts").rglob("*.js"))
    said = {json.loads(text) for path in scripts for text in CALL.findall(path.read_text(encoding="utf-8"))}
    assert len(said) > 100
    assert said <= known


def bare_texts(source: str) -> Iterator[str]:
    """Texts of a template that no call marks: between tags and in attributes that people read."""
    data = (text for _, kind, text in Environment(autoescape=True).lex(source) if kind == "data")
    html = re.sub(r' data-[a-z]+="[a-z]*"', "", "".join(data))
    document = html5lib.parseFragment(html, container="body", namespaceHTMLElements=False)
    for element in document.iter():
        yield from (text for text in (element.text, element.tail) if text)
        yield from (element.get(name, "") for name in SHOWN)


@pytest.mark.parametrize("name", sorted(path.name for path in (theme_folder() / "templates").glob("*.html")))
def test_every_text_of_a_template_is_marked(name: str) -> None:
    source = (theme_folder() / "templates" / name).read_text(encoding="utf-8")
    assert [text for text in bare_texts(source) if re.search(r"[^\W\d_]{2}", text)] == []


def test_german_is_complete(german: list[Message]) -> None:
    assert [message.id for message in german if message.fuzzy] == []
    assert [text for message in german for text, told in sides(message) if not told.strip()] == []


def test_translations_keep_every_placeholder(german: list[Message]) -> None:
    for message in german:
        for text, told in sides(message):
            assert sorted(PLACEHOLDER.findall(told)) == sorted(PLACEHOLDER.findall(text)), text


def test_translations_keep_code_and_blanks_at_the_ends(german: list[Message]) -> None:
    for message in german:
        for text, told in sides(message):
            assert sorted(re.findall(r"`[^`]*`", told)) == sorted(re.findall(r"`[^`]*`", text)), text
            assert told == told.strip(), text


def test_german_addresses_nobody(german: list[Message]) -> None:
    told = [(text, word) for message in german for _, text in sides(message) for word in re.findall(r"\w+", text)]
    assert [text for text, word in told if word in ("du", "dich", "dein", "deine", "Ihnen", "Du", "Dein")] == []


# --- Which language


@pytest.mark.parametrize("language", ["de", "de-DE", "de-AT", "de-CH", "de_AT"])
def test_every_german_is_german(language: str) -> None:
    words = words_of(language)
    assert words.gettext("Trouble codes") == "Fehlercodes"
    assert words.gettext("DANGER") == "GEFAHR"
    assert words.scripts["Print"] == "Drucken"


@pytest.mark.parametrize("language", ["en", "en-GB", "en-US", "ja", "ar", "pt-BR", "zh-Hant-TW"])
def test_other_languages_keep_the_source_texts_and_need_no_script(language: str) -> None:
    words = words_of(language)
    assert words.gettext("Trouble codes") == "Trouble codes"
    assert words.script() == {}


def test_unknown_and_empty_texts_stay_as_they_are() -> None:
    words = words_of("de")
    assert words.gettext("Not a text of the theme") == "Not a text of the theme"
    assert words.gettext("") == ""


def test_script_gives_the_browser_only_texts_of_scripts() -> None:
    (data,) = words_of("de").script().values()
    table = json.loads(data.decode().partition("droplight.texts=")[2].rstrip(";\n"))
    assert table["Nothing found"] == "Nichts gefunden"
    assert "Trouble codes" in table
    assert "Every rule" not in table


def test_theme_of_ones_own_may_bring_words(tmp_path: Path) -> None:
    """Its catalogue goes before the built-in one, text by text; it may bring a language that is not built in."""
    for language, told in (("de", "Störungscodes"), ("fr", "Codes défaut")):
        path = tmp_path / "locale" / language / "LC_MESSAGES" / "droplight.po"
        path.parent.mkdir(parents=True)
        path.write_text(f'msgid ""\nmsgstr ""\n\n#: own.js\nmsgid "Trouble codes"\nmsgstr "{told}"\n', encoding="utf-8")
    german, french = words_of("de", tmp_path), words_of("fr-CA", tmp_path)
    assert german.gettext("Trouble codes") == german.scripts["Trouble codes"] == "Störungscodes"
    assert german.gettext("Safety") == "Sicherheit"
    assert french.gettext("Trouble codes") == "Codes défaut"
    assert french.gettext("Safety") == "Safety"


# --- Hazards that always exist


def test_hazards_that_always_exist_are_told_in_the_language_unless_the_library_has_its_own_words(
    tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any]
) -> None:
    own = {"hazards": {"lifting": {**sharpened(), "avoid": "Nur in der Werkstatt."}}}
    root = write_library(tmp_path, {"area/horn": horn}, {**SETTINGS, "language": "de"}, own)
    library = read_library(root).library
    assert library
    hazards = in_language(library, words_of("de")).catalogue.hazards
    assert hazards["timing"].name == "Steuertrieb"
    assert "Werkstatthandbuch" in hazards["timing"].avoid
    assert hazards["timing"].signal == "warning"
    assert hazards["lifting"].avoid == "Nur in der Werkstatt."
    assert in_language(library, words_of("en")) == library


def sharpened() -> dict[str, str]:
    return {key: BUILT_IN["lifting"][key] for key in ("name", "signal", "harm")}


# --- A German site


@pytest.fixture(scope="module")
def german_site(tmp_path_factory: pytest.TempPathFactory, run_builder: Callable[..., Any]) -> Path:
    """The site of the demo library with its language changed to German; its own texts stay English."""
    root = tmp_path_factory.mktemp("german")
    for path in (ROOT / "playbooks").rglob("*.yaml"):
        target = root / "library" / path.relative_to(ROOT / "playbooks")
        target.parent.mkdir(parents=True, exist_ok=True)
        text = path.read_text(encoding="utf-8")
        target.write_text(text.replace("language: en-GB", "language: de"), encoding="utf-8")
    done = run_builder("build", "--library", root / "library", "--out", root / "site")
    assert done.returncode == 0, done.stderr
    return root / "site"


def page_texts(page: ET.Element) -> Iterator[str]:
    """Every text of a page that people read, its code apart."""
    for element in page.iter():
        told = element.tag not in ("script", "style", "code", "pre")
        texts = (element.text if told else None, element.tail, *(element.get(name) for name in SHOWN))
        yield from (" ".join(text.split()) for text in texts if text and text.strip())


def pages(site: Path) -> Iterator[Path]:
    """Every kind of page, and of each kind a few."""
    yield from sorted(site.glob("*.html"))
    for folder in sorted(path for path in site.iterdir() if path.is_dir()):
        yield from sorted(folder.glob("*.html"))[:40:8]


def test_no_text_of_the_theme_is_left_in_english_on_a_german_site(german_site: Path, german: list[Message]) -> None:
    library = " ".join(
        " ".join(path.read_text(encoding="utf-8") for path in (ROOT / "playbooks").rglob("*.yaml")).split()
    )
    english = {text for message in german for text, told in sides(message) if text != told and text not in library}
    pieces = {
        text: [re.escape(piece) for piece in PLACEHOLDER.split(text)] for text in english if PLACEHOLDER.search(text)
    }
    filled = re.compile("|".join(".+".join(parts) for parts in pieces.values() if len("".join(parts)) > 12))
    seen = 0
    for path in pages(german_site):
        page = html5lib.parse(path.read_text(encoding="utf-8"), namespaceHTMLElements=False)
        for text in page_texts(page):
            seen += 1
            assert text not in english, path.name
            assert not filled.fullmatch(text), path.name
    assert seen > 1000


def test_german_page_says_so_and_counts_and_writes_figures_as_german_does(german_site: Path) -> None:
    home = (german_site / "index.html").read_text(encoding="utf-8")
    assert '<html lang="de" dir="ltr"' in home
    assert "1 Prüfplan. " in (german_site / "area" / "cabin.html").read_text(encoding="utf-8")
    assert "3 Prüfpläne. " in (german_site / "area" / "cooling.html").read_text(encoding="utf-8")
    book = (german_site / "playbook" / "cranks-but-does-not-start.html").read_text(encoding="utf-8")
    assert re.search(r"\d\u00a0€", book)
    assert re.search(r"\d\u00a0%", book)
    assert "GEFAHR" in book
    wheel = (german_site / "playbook" / "abs-lamp-after-rain.html").read_text(encoding="utf-8")
    assert "0,016\u00a0in" in wheel


def test_german_flowchart_and_its_file_are_german(german_site: Path) -> None:
    drawing = (german_site / "flow" / "abs-lamp-after-rain.svg").read_text(encoding="utf-8")
    assert "Ablaufdiagramm: ABS lamp comes on after rain" in drawing
    assert "· GEFAHR" in drawing


def test_english_site_loads_no_words(site_dir: Path, german_site: Path) -> None:
    assert not list(site_dir.glob("assets/words.*"))
    (words,) = german_site.glob("assets/words.*.js")
    head = (german_site / "playbook" / "abs-lamp-after-rain.html").read_text(encoding="utf-8")
    assert head.index(f"assets/{words.name}") < head.index("assets/page.")


# --- Odd languages


@pytest.mark.parametrize("written", ["pt-BR", "pt_BR"])
def test_language_stands_on_pages_as_browsers_know_it(written: str) -> None:
    """BCP 47 (RFC 5646) knows hyphens only, and a browser writes no figures for anything else."""
    assert Settings.model_validate({**SETTINGS, "language": written}).language == "pt-BR"


@pytest.mark.parametrize(("language", "direction"), [("ar", "rtl"), ("he", "rtl"), ("ja", "ltr"), ("fa-AF", "rtl")])
def test_language_without_a_catalogue_gets_source_texts_and_its_own_figures(
    language: str,
    direction: str,
    tmp_path: Path,
    write_library: Callable[..., Path],
    horn: dict[str, Any],
    run_builder: Callable[..., Any],
) -> None:
    root = write_library(tmp_path / "library", {"area/horn": horn}, {**SETTINGS, "language": language})
    done = run_builder("build", "--library", root, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "site" / "playbook" / "horn.html").read_text(encoding="utf-8")
    assert f'<html lang="{language}" dir="{direction}"' in page
    assert "What it will probably cost" in page
