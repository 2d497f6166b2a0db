"""The guide "How playbooks are written": it shows every field and every rule, and each snippet in it holds."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final
from xml.etree.ElementTree import Element

import html5lib
import pytest
import yaml
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from builder.draw.figures import figures_of
from builder.format import worked
from builder.format.draft import draft_text
from builder.format.forms import CHANCE, MONEY, PERCENT, TIME
from builder.format.rules import all_rules
from builder.format.schema import FILES, schema_of, schema_text
from builder.publish.pages.guide import (
    DRAFT,
    NOTATIONS,
    Notation,
    example_of,
    groups,
    guide_view,
    inline,
    visible,
    worked_library,
)
from builder.publish.pages.pages import Pages
from builder.publish.pages.theme import fingerprinted, read_assets
from builder.read.library import read_library
from builder.read.nodes import parse_nodes
from builder.read.notation import NotationError, parse_amount, parse_chance, parse_minutes, parse_money, parse_percent
from builder.read.records import (
    AccessJob,
    Cause,
    CheckResult,
    CodeMeaning,
    CommonCheck,
    Ending,
    Hazard,
    Measurement,
    Mishap,
    Part,
    Playbook,
    Professional,
    Prove,
    Provenance,
    Result,
    Settings,
    Step,
    Symptom,
    Tool,
)
from builder.read.source import Source
from builder.reckon.advice import appraise
from builder.reckon.totals import totals_of

RECORDS: Final = (
    *(Playbook, Symptom, Cause, Step, Result, Ending, Prove, Provenance, Mishap, Measurement, Professional),
    *(Settings, Tool, Part, AccessJob, Hazard, CommonCheck, CheckResult, CodeMeaning),
)


@pytest.fixture(scope="module")
def guide(site_dir: Path) -> Element:
    """The page in the demo library's site, read by a strict parser of the HTML standard."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    page: Element = parser.parse((site_dir / "guide.html").read_text(encoding="utf-8"))
    return page


def text_of(element: Element) -> str:
    return "".join(element.itertext())


def snippets(guide: Element) -> list[str]:
    return [text_of(code) for code in guide.iterfind(".//pre/code")]


def ids(guide: Element) -> set[str]:
    return {element.attrib["id"] for element in guide.iter() if "id" in element.attrib}


# --- What it shows


def test_every_field_of_every_record_is_explained(guide: Element) -> None:
    shown = {name.split("-", 2)[2] for name in ids(guide) if name.startswith("field-")}
    assert shown == {name for record in RECORDS for name in record.model_fields} - {"slug", "area"}


def test_required_fields_say_so(guide: Element) -> None:
    marked = {
        heading.attrib["id"]
        for heading in guide.iter("h4")
        if heading.attrib.get("id", "").startswith("field-playbook-") and "required" in text_of(heading)
    }
    assert marked == {f"field-playbook-{name}" for name in schema_of("playbook")["required"]}


def test_every_rule_is_explained_with_wrong_and_right(guide: Element) -> None:
    headings = {heading.attrib["id"]: text_of(heading) for heading in guide.iter("h4") if "id" in heading.attrib}
    body, code = text_of(guide), snippets(guide)
    for rule in all_rules():
        assert rule.severity in headings[f"rule-{rule.name}"]
        assert rule.says.replace("`", "") in body
        assert visible(rule.wrong.shown) in code
        assert visible(rule.right.shown) in code


def test_every_link_within_the_page_leads_somewhere(guide: Element) -> None:
    targets = {link.attrib["href"][1:] for link in guide.iter("a") if link.attrib["href"].startswith("#")}
    assert targets <= ids(guide)


def test_every_page_links_to_the_guide_in_its_footer(site_dir: Path) -> None:
    pages = sorted(site_dir.rglob("*.html"))
    assert len(pages) > 100
    for page in pages:
        depth = len(page.relative_to(site_dir).parts) - 1
        footer = page.read_text(encoding="utf-8").partition("<footer")[2]
        assert f'<a href="{"../" * depth}guide.html">' in footer, page


def test_site_has_the_schema_of_a_playbook(site_dir: Path, guide: Element) -> None:
    assert (site_dir / "schema/playbook.json").read_text(encoding="utf-8") == schema_text()
    assert "schema/playbook.json" in {link.attrib["href"] for link in guide.iter("a")}


def test_code_stands_in_frames_and_can_be_reached_by_keyboard_where_it_is_wide(guide: Element) -> None:
    frames = list(guide.iter("pre"))
    assert {frame.attrib["class"] for frame in frames} == {"frame"}
    for frame in frames:
        wide = max(map(len, text_of(frame).splitlines())) > 34
        assert (frame.attrib.get("tabindex") == "0") == wide, text_of(frame)
        assert ("aria-label" in frame.attrib) == wide


# --- That what it shows holds


def test_no_snippet_is_unchecked(guide: Element) -> None:
    checked = {worked.PLAYBOOK, *worked.OTHERS.values(), *worked.CATALOGUE.values()}
    checked |= {field.example for group in groups() for field in group.fields}
    checked |= {visible(example.shown) for rule in all_rules() for example in (rule.wrong, rule.right)}
    commands = {
        'droplight draft washer-sprays-nothing --area electrics --title "Windscreen washer sprays nothing"',
        "droplight check\ndroplight build\n",
    }
    drafts = {draft_text(DRAFT, "multimeter", "https://example.org/tamarin/")}
    assert set(snippets(guide)) == checked | commands | drafts


def write(root: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")


@pytest.mark.parametrize("site_url", [None, "https://example.org/a"])
def test_draft_that_is_shown_waits_to_be_filled_in_and_has_no_error(tmp_path: Path, site_url: str | None) -> None:
    write(tmp_path, {**worked.LIBRARY, "starting/draft.yaml": draft_text(DRAFT, "multimeter", site_url)})
    found = read_library(tmp_path, "library", appraise).findings
    assert {(one.rule, one.severity) for one in found} == {("draft-text", "warning")}


def test_command_that_is_shown_drafts_what_is_shown(tmp_path: Path) -> None:
    # The finished playbook has the address, the area and the title of the draft.
    assert (DRAFT.slug, DRAFT.area) == (worked.SLUG, worked.AREA)
    write(tmp_path, worked.LIBRARY)
    read = read_library(tmp_path, "library", appraise)
    library, findings = read.library, read.findings
    assert findings == ()
    assert library is not None
    assert library.playbooks[worked.SLUG].title == DRAFT.title


def test_worked_library_in_memory_is_the_one_in_files(tmp_path: Path) -> None:
    write(tmp_path, worked.LIBRARY)
    library = read_library(tmp_path).library
    assert library is not None
    inner = worked_library()
    assert inner.settings == library.settings
    assert inner.playbooks[worked.SLUG] == library.playbooks[worked.SLUG]
    assert totals_of(worked.SLUG, inner) == totals_of(worked.SLUG, library)


def test_figures_that_are_shown_are_those_of_the_finished_playbook(guide: Element) -> None:
    totals = totals_of(worked.SLUG, worked_library())
    table = next(guide.iter("table"))
    rows = [[text_of(cell) for cell in row] for row in table.iterfind("tbody/tr")]
    assert len(rows) == len(totals.paths) == 4
    # By hand, from the shares and chances of the playbook: hums = .45·.98 + .15·0 + .32·.08 + .08·.5 = .5066.
    assert rows[0] == ["The pump hums", "Clear the nozzles", "51%", "€0", "17 min – 27 min"]
    body = text_of(guide)
    assert totals.expected is not None
    assert f"Expect about {figures_of(worked_library().settings).about(totals.expected.money)} and" in body


def example_fields() -> Iterator[Any]:
    """Every field with an example, with the part of the schema that it belongs to."""
    playbook = schema_of("playbook")
    parts = {name.lower(): part for name, part in playbook["$defs"].items()}
    parts |= {"playbook": playbook, "work": parts["step"]}
    definitions = dict(playbook["$defs"])
    for kind in set(FILES) - {"playbook"}:
        whole = schema_of(kind)
        parts[kind] = whole.get("additionalProperties") or whole
        definitions |= whole.get("$defs", {})
        parts |= {name.lower(): part for name, part in whole.get("$defs", {}).items()}
    for group in groups():
        for field in group.fields:
            schema = {**parts[group.name]["properties"][field.name], "$defs": definitions}
            yield pytest.param(field.name, field.example, schema, id=f"{group.name}-{field.name}")


@pytest.mark.parametrize(("name", "example", "schema"), list(example_fields()))
def test_example_of_a_field_is_one_that_the_schema_takes(name: str, example: str, schema: dict[str, Any]) -> None:
    lines = example.split(f"\n{name}:")
    assert example.startswith(f"{name}:")
    for number, line in enumerate(lines):
        value = YAML_1_2.load(line if number == 0 else f"{name}:{line}")[name]
        assert Draft202012Validator(schema).is_valid(value), line


YAML_1_2: Final = YAML(typ="safe", pure=True)
"""YAML as editors read it: a bare `on` is a word."""


PARSERS: Final = {
    "Money": (lambda value: parse_amount(value, parse_money), MONEY),
    "Time": (lambda value: parse_amount(value, parse_minutes), TIME),
    "Share": (parse_percent, PERCENT),
    "Chance": (parse_chance, CHANCE),
}


def plain(text: str) -> Any:
    node, findings = parse_nodes(Source("x", text))
    assert findings == []
    assert node is not None
    return node.plain()


@pytest.mark.parametrize("notation", NOTATIONS, ids=lambda notation: notation.title)
def test_values_that_are_called_right_are_taken_and_those_called_wrong_are_not(notation: Notation) -> None:
    parse, form = PARSERS[notation.title]
    for text in notation.good:
        parse(plain(text))
        assert Draft202012Validator(form).is_valid(yaml.safe_load(text)), text
    for text in notation.bad:
        with pytest.raises(NotationError):
            parse(plain(text))


# --- Its parts


def view_without_an_address() -> dict[str, Any]:
    library = worked_library()
    return guide_view(Pages(library, figures_of(library.settings), fingerprinted(read_assets())))


def test_site_without_an_address_shows_no_line_for_editors() -> None:
    view = view_without_an_address()
    assert view["modeline"] == ""
    assert view["draft"].startswith("format: 1\n")


def test_characters_that_do_not_show_are_named() -> None:
    assert visible("a\ab\tc\u202ed") == "a⟨U+0007⟩b⟨U+0009⟩c⟨U+202E⟩d"


def test_code_in_a_sentence_is_code_and_html_stays_text() -> None:
    assert inline("write `a: b`, not <b>") == "write <code>a: b</code>, not &lt;b&gt;"


def test_examples_that_change_another_file_say_which() -> None:
    where = view_without_an_address()["where"]
    said = {rule.name: where(rule.wrong) for rule in all_rules()}
    assert said["unused-entry"] == "`catalogue/tools.yaml`"
    assert said["bad-slug"] == "which files there are"
    assert said["not-utf8"] == "saved as latin-1"
    assert said["too-big"] == "the last line 20000 times"
    assert said["circle"] == ""


@pytest.mark.parametrize(
    ("examples", "text"),
    [
        (["70%"], "chance: 70%\n"),
        ([0, "10-20"], "chance: 0\nchance: 10-20\n"),
        ([["a", "b"]], "chance: [a, b]\n"),
        ([{"plug": "95%", "otherwise": "3%"}], "chance: {plug: 95%, otherwise: 3%}\n"),
    ],
)
def test_examples_are_written_as_one_would_write_them(examples: list[Any], text: str) -> None:
    assert example_of("chance", examples) == text
