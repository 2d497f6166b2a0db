"""A comparison as Markdown: what it says, how long it gets, and that no text of a playbook can be more than text."""

import re
import subprocess
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import assume, example, given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from builder.cli import main
from builder.compare.compare import compare
from builder.read.findings import WARNING, Finding
from builder.read.library import LibraryRead
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.report.markdown import LIMIT, UNCHANGED, as_markdown
from builder.report.spans import code

Plain = dict[str, Any]

LIBRARY = {
    "library.yaml": "title: T\nlanguage: en\ncurrency: EUR\nlabour_rate: 60\nareas: {y: Why}\n",
    "catalogue/tools.yaml": "meter: {name: Meter, price: 25}\n",
    "catalogue/access.yaml": "wheel: {name: Wheel off, open: 5 min, close: 5 min, hazards: [lifting]}\n",
    "catalogue/hazards.yaml": "hot: {name: Hot, signal: caution, harm: Burns., avoid: Wait., words: [scald]}\n",
    "y/x.yaml": """\
format: 1
title: It squeaks
symptom: {summary: It squeaks}
causes:
  dry: {name: Dry, share: 80%}
start: look
steps:
  look:
    title: Look
    time: 10 min
    tools: [meter]
    access: [wheel]
    hazards: [hot]
    results:
      dry: {expect: Dry, chance: {dry: 90%, otherwise: 5%}, next: oil}
      wet: {expect: Wet, chance: rest, next: leave}
endings:
  oil: {title: Oil it, settles: [dry], time: 10 min}
  leave: {title: Hand over, who: shop, time: 30 min}
""",
}


def write(folder: Path, edits: dict[str, tuple[str, str]]) -> Path:
    """The library in a folder, with edits of its files: path to (what stands there, what shall)."""
    for name, text in LIBRARY.items():
        before, after = edits.get(name, ("", ""))
        assert before in text
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text.replace(before, after, 1) if before else text)
    return folder


@pytest.fixture
def comment(tmp_path: Path) -> Callable[..., Result]:
    """Runs `droplight compare` on the library before and after edits."""

    def comment(**edits: tuple[str, str]) -> Result:
        files = {name.replace("__", "/") + ".yaml": edit for name, edit in edits.items()}
        folders = [str(write(tmp_path / "old", {})), str(write(tmp_path / "new", files))]
        return CliRunner().invoke(main, ["compare", *folders])

    return comment


def test_nothing_changed_takes_one_line(comment: Callable[..., Result]) -> None:
    result = comment(
        y__x=("    title: Look\n    time: 10 min\n", "    # twice\n    time:  10 min\n\n    title: Look\n")
    )
    assert result.exit_code == 0, result.stderr
    assert result.stdout == UNCHANGED
    assert result.stdout.count("\n") == 1


def test_a_lost_warning_stands_first_and_loud(comment: Callable[..., Result]) -> None:
    result = comment(catalogue__access=("hazards: [lifting]", "hazards: []"), y__x=("share: 80%", "share: 60%"))
    assert result.stdout.startswith(
        "### ⚠️ 2 warnings gone or weaker: look here first\n\n"
        "- The access job `wheel` **no longer carries `lifting`** to the steps that need it.\n"
        "- `x` **no longer names `lifting` anywhere**; it was named by the step `look`.\n"
    )


def test_numbers_stand_before_and_after(comment: Callable[..., Result]) -> None:
    """By hand: shop labour is 30 €, the meter 25 €; `leave` has the chance 0.8 · 0.1 + 0.2 · 0.95 = 0.27, then 0.44."""
    result = comment(y__x=("share: 80%", "share: 60%"))
    assert "| `x` | `€33 → €38` | `35 min → 39 min` | `72% → 54%` | `€0.25 → €0.50` |" in result.stdout
    assert "`dry → oil`: chance `73% → 56%`, money `€25`, time `30 min`" in result.stdout
    assert "- `x`:\n  - cause `dry` (`share` `80% → 60%`)" in result.stdout


def test_prices_stand_before_and_after(comment: Callable[..., Result]) -> None:
    result = comment(catalogue__tools=("price: 25", "price: 30-40"), library=("labour_rate: 60", "labour_rate: 90"))
    assert "- Settings: `labour_rate` `€60 → €90`\n- The tool `meter`: `price` `€25 → €30 – €40`" in result.stdout
    assert "1 with other numbers through catalogue or settings alone" in result.stdout


ENTRIES: Plain = {
    "tools": ({"name": "Meter", "price": "25"}, {"name": "Good meter", "price": "30", "borrow": "5", "usual": "true"}),
    "parts": ({"name": "Seal", "price": "4"}, {"name": "Seals", "price": "5-6", "note": "Two sizes."}),
    "access": (
        {"name": "Cover off", "open": "5 min", "close": "5 min"},
        {"name": "Lid off", "open": "6 min", "close": "7 min", "note": "Eight screws."},
    ),
    "checks": (
        {"title": "Look", "time": "5 min", "results": {"a": {"expect": "A"}, "b": {"expect": "B"}}},
        {
            **{"title": "Look twice", "time": "7 min", "cost": "3", "wait": "2 h", "do": "Look."},
            "results": {"a": {"expect": "Aha"}, "c": {"expect": "C"}},
        },
    ),
    "codes": ({"means": "Bank lean"}, {"means": "Bank too lean", "source": "SAE J2012"}),
}
"""An entry of each kind of the catalogue, and the same changed in every way that it can be."""


def test_every_change_of_every_kind_of_the_catalogue_is_named(
    tmp_path: Path, write_library: Callable[..., Path]
) -> None:
    names = {kind: "P0171" if kind == "codes" else "it" for kind in ENTRIES}
    folders = [
        write_library(tmp_path / str(k), {}, catalogue={kind: {names[kind]: both[k]} for kind, both in ENTRIES.items()})
        for k in (0, 1)
    ]
    result = CliRunner().invoke(main, ["compare", *map(str, folders)])
    assert result.exit_code == 0, result.stderr
    assert "- The tool `it`: `name`, `price` `€25 → €30`, `usual` `no → yes`, `borrow`\n" in result.stdout
    assert "- The part `it`: `name`, `price` `€4 → €5 – €6`, `note`\n" in result.stdout
    assert "- The access job `it`: `name`, `open` `5 min → 6 min`, `close` `5 min → 7 min`, `note`\n" in result.stdout
    (check,) = [line for line in result.stdout.splitlines() if line.startswith("- The check `it`: ")]
    assert "`time` `5 min → 7 min`" in check
    assert "`cost` `€0 → €3`" in check
    for field in ("title", "do", "wait", "results.a.expect", "results.b.removed", "results.c.added"):
        assert f"`{field}`" in check
    assert "- The code `P0171`: `means`, `source`" in result.stdout


def test_an_error_is_told_with_its_place_and_ends_with_1(comment: Callable[..., Result]) -> None:
    result = comment(y__x=("next: oil", "next: oli"))
    assert result.exit_code == 1
    assert re.search(
        r"- error `unknown-next` at `\S+/new/y/x\.yaml:15:\d+`: `` `next`: no step or ending `oli` ``", result.stdout
    )


def test_a_playbook_that_is_not_yaml_any_more_is_told_first(comment: Callable[..., Result]) -> None:
    result = comment(y__x=("steps:", "steps: ]"))
    assert result.exit_code == 1
    assert result.stdout.splitlines()[2] == (
        "- `x` **cannot be read any more**, so nobody can tell which warnings it keeps."
    )


def test_a_settings_file_that_is_not_yaml_any_more_is_told(comment: Callable[..., Result]) -> None:
    result = comment(library=("title: T", "title: ]"))
    assert result.exit_code == 1
    assert "**The library after the change cannot be read**" in result.stdout


def test_the_old_library_may_have_errors(comment: Callable[..., Result], tmp_path: Path) -> None:
    comment(y__x=("next: oil", "next: oli"))
    result = CliRunner().invoke(main, ["compare", str(tmp_path / "new"), str(tmp_path / "old")])
    assert result.exit_code == 0
    assert "### Findings that are gone\n\n- error `unknown-next`" in result.stdout


def test_what_is_not_a_folder_is_wrong_usage(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["compare", str(tmp_path), str(tmp_path / "none")])
    assert result.exit_code == 2
    assert "add --git" in result.stderr


def test_the_same_change_gives_the_same_bytes(
    tmp_path: Path, run_builder: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    """The order of Python's sets changes with the hash seed; that of the comment does not."""
    hazards = (
        "hot: {name: H, signal: caution, harm: B., avoid: W.}\ncold: {name: C, signal: caution, harm: B., avoid: W.}\n"
    )
    write(tmp_path / "old", {"catalogue/access.yaml": ("[lifting]", "[lifting, hot, cold]")})
    (tmp_path / "old/catalogue/hazards.yaml").write_text(hazards)
    write(tmp_path / "new", {"catalogue/access.yaml": ("[lifting]", "[]")})
    outputs = [
        run_builder("compare", tmp_path / "old", tmp_path / "new", env={"PYTHONHASHSEED": seed}).stdout
        for seed in ("1", "2", "3")
    ]
    assert outputs[0].startswith("### ⚠️")
    assert len(set(outputs)) == 1


# --- Text from strangers ---


def github_like() -> MarkdownIt:
    """CommonMark with raw HTML, tables, strikethrough and links made of bare addresses, as hosts render comments."""
    return MarkdownIt("gfm-like", {"html": True, "linkify": True})


def flat(tokens: list[Token]) -> list[Token]:
    return [one for token in tokens for one in (token, *flat(token.children or []))]


HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "<!-- ",
    "</details>",
    "[click](https://example.org)",
    "![i](https://example.org/i.png)",
    "https://example.org",
    "www.example.org",
    "mail@example.org",
    "@everyone",
    "#12",
    "owner/repo#12",
    "0123456789abcdef0123456789abcdef01234567",
    "```",
    "`",
    "``",
    "````suggestion",
    "~~~",
    "| a | b |",
    "\\",
    "**",
    "$`x`$",
    "\n\n# Heading\n\n",
    "\r\n- item",
    "\n    code",
    "\u2028",
    "\u202e",
    "[x]: https://example.org",
    "&lt;",
    ":smile:",
    "/close",
    "---",
    "{hazard}",
)
hostile_texts = st.lists(st.one_of(st.sampled_from(HOSTILE), st.text(max_size=12)), min_size=1, max_size=6).map("".join)


@given(text=hostile_texts)
@example(text="`` ` ``")
@example(text=" `")
@example(text="```\n@everyone\n```")
def test_a_code_span_holds_all_of_a_text_and_nothing_else(text: str) -> None:
    shown = " ".join("".join(char if char.isprintable() else " " for char in text).split())
    assume(shown)
    tokens = flat(github_like().parse(f"- **before** {code(text, 10_000)}: after {code(text, 10_000)}"))
    assert [token.content for token in tokens if token.type == "code_inline"] == [shown, shown]
    assert [token.content for token in tokens if token.type == "text"] == ["", "before", " ", ": after "]


def comparison_with(text: str) -> str:
    """The comment on a change in which every text of the library, and every finding, says something."""
    work = {"title": text, "do": text, "preconditions": [text]}
    playbook: dict[str, Any] = {
        "format": "1",
        "slug": "x",
        "area": "y",
        "title": text,
        "vehicles": [text],
        "symptom": {"summary": text},
        "causes": {"dry": {"name": text, "share": "80%", "note": text}},
        "start": "look",
        "steps": {"look": {**work, "hazards": ["hot"], "results": {"any": {"expect": text, "next": "leave"}}}},
        "endings": {"leave": {**work, "who": "shop", "prove": {"trial": text, "shows": "50%"}}},
    }
    hot = {"name": text, "signal": "danger", "harm": text, "avoid": text, "words": [text + "old"]}
    after = deepcopy(playbook)
    del after["steps"]["look"]["hazards"]
    after["steps"]["look"]["no_hazards"] = {"hot": text}
    after["title"] = after["symptom"]["summary"] = text + "new"
    new_hot = {**hot, "signal": "caution", "harm": text + "new", "words": [text + "new"]}
    return as_markdown(compare(side_of(playbook, hot, text, 2), side_of(after, new_hot, text, 3)))


def side_of(playbook: dict[str, Any], hazard: dict[str, Any], text: str, count: int) -> LibraryRead:
    settings = {"title": text, "currency": "EUR", "labour_rate": "60", "areas": {"y": text}}
    slugs = ["x", *(f"only-{count}-{n}" for n in range(count))]
    library = Library.model_construct(
        settings=Settings.model_validate(settings),
        catalogue=Catalogue.model_validate(
            {"hazards": {"hot": hazard, text: hazard} if count == 2 else {"hot": hazard}}
        ),
        playbooks={
            slug: Playbook.model_validate({**playbook, "slug": slug, "steps": renamed(playbook, slug)})
            for slug in slugs
        },
    )
    rows = [Finding(f"{text}/z.yaml", n, 1, f"{count}{text}", text, text, WARNING, text) for n in range(count)]
    return LibraryRead(library, tuple(rows), "playbooks")


def renamed(playbook: dict[str, Any], slug: str) -> dict[str, Any]:
    """Steps of other names for every playbook but the first, so that none looks like another."""
    extra = {} if slug == "x" else {f"{slug}-{n}": playbook["steps"]["look"] for n in range(4)}
    return {**playbook["steps"], **extra}


PLAIN = comparison_with("plain")


WORDS = re.compile(r"^### (?:What can hurt|Other words), before and now\n\n((?:- .*\n)*)", re.MULTILINE)
"""Sections with as many rows as there are sentences that changed."""


def shape(comment: str) -> list[tuple[str, str]]:
    """Kinds of tokens in order, with what stands outside of code; of rows of words, the set that there is."""
    rows = [row for section in WORDS.findall(comment) for row in section.splitlines()]
    tokens = flat(github_like().parse(WORDS.sub("", comment)))
    told = [("row", row) for row in sorted({template(row) for row in rows})]
    return [(token.type, "" if token.type in ("inline", "code_inline") else token.content) for token in tokens] + told


def template(row: str) -> str:
    """A row with a sign for what is before, or now, be it one text, some or none."""
    tokens = flat(github_like().parse(row))
    assert {token.type for token in tokens} <= ROW_TOKENS
    shown = "".join("§" if token.type == "code_inline" else token.content for token in tokens if not token.children)
    return re.sub(r"(before:|now:) (?:nothing|§(?:, §)*)", r"\1 §", shown)


ROW_TOKENS = {"bullet_list_open", "bullet_list_close", "list_item_open", "list_item_close", "paragraph_open"} | {
    *("paragraph_close", "inline", "text", "code_inline", "strong_open", "strong_close")
}


@given(text=hostile_texts)
@example(text="".join(HOSTILE))
@example(text="| `|` |")
def test_no_text_of_a_library_changes_the_shape_of_the_comment(text: str) -> None:
    """Whatever strangers write, the comment has the headings, rows and words that it has with a harmless text."""
    assume("".join(char for char in text if char.isprintable()).strip())
    assert shape(comparison_with(text)) == shape(PLAIN)


def test_the_harmless_comment_has_every_kind_of_text() -> None:
    """The shape is worth comparing: losses, denials, words, wordings, findings and playbooks are all in it."""
    for words in ("**denies", "no longer calls for", "has other words", "is weaker", "is new:", "is removed:"):
        assert words in PLAIN
    assert "in the catalogue" in PLAIN
    assert "### New findings" in PLAIN
    assert "### Findings that are gone" in PLAIN
    assert len([kind for kind, _ in shape(PLAIN) if kind == "row"]) == 3
    assert {kind for kind, _ in shape(PLAIN)}.isdisjoint({"link_open", "image", "html_inline", "html_block", "fence"})


# --- Length ---


def many(count: int, hazards: list[str], text: str) -> LibraryRead:
    """A library of many playbooks, each with many steps."""
    plain = {
        "format": "1",
        "area": "y",
        "title": text,
        "symptom": {"summary": text},
        "start": "s0",
        "endings": {"end": {"title": text}},
    }
    steps = {
        f"s{n}": {"title": text, "hazards": hazards, "results": {"on": {"expect": text, "next": f"s{n + 1}"}}}
        for n in range(11)
    }
    steps["s11"] = {"title": text, "hazards": hazards, "results": {"on": {"expect": text, "next": "end"}}}
    playbooks = {
        f"slug-{n:04}": Playbook.model_validate({**plain, "slug": f"slug-{n:04}", "steps": steps}) for n in range(count)
    }
    named = {"name": text, "harm": text, "avoid": text}
    catalogue = {"lifting": {**named, "signal": "danger"}, "hot": {**named, "signal": "caution"}}
    rows = [Finding("playbooks/y/x.yaml", n, 1, "rule", f"{text} {n}") for n in range(count if hazards else 0)]
    return LibraryRead(
        Library.model_construct(
            settings=Settings.model_validate(
                {"title": "T", "currency": "EUR", "labour_rate": "1", "areas": {"y": "Y"}}
            ),
            catalogue=Catalogue.model_validate({"hazards": catalogue}),
            playbooks=playbooks,
        ),
        tuple(rows),
        "playbooks",
    )


def test_a_long_comment_stays_below_the_limit_and_says_what_it_leaves_out() -> None:
    """A host takes 65,536 characters; a comment of 400 playbooks that lost all hazards is cut, the gravest kept."""
    comment = as_markdown(compare(many(400, ["hot", "lifting"], "ö" * 300), many(400, [], "ö" * 300)))
    assert LIMIT // 2 < len(comment.encode()) < LIMIT == 60_000
    assert comment.startswith(
        "### ⚠️ 800 warnings gone or weaker: look here first\n\n- `slug-0000` **no longer names `lifting`"
    )
    assert "`hot`" not in comment.split("…", 1)[0]
    left_out = [int(count) for count in re.findall(r"^… and (\d+) more, left out to keep this short\.$", comment, re.M)]
    sections = comment.split("### ")[1:]
    shown = [section.count("\n- ") for section in sections]
    assert shown[0] + left_out[0] == 800
    assert {"Playbooks", "Findings that are gone"} <= {section.splitlines()[0] for section in sections}


def test_shares_chances_and_sources_stand_before_and_after(comment: Callable[..., Result]) -> None:
    shares = comment(y__x=("share: 80%", "share: 60%, source: {what: own count, seen: 24, on: 2026-03}"))
    assert (
        "- `x`:\n  - cause `dry` (`share` `80% → 60%`, `source` `none → own count of 24, 2026-03`)\n" in shares.stdout
    )
