"""`droplight draft`: a playbook without errors, with odds, and never at the cost of one that is there."""

import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import click
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from builder.cli import main
from builder.format.draft import Draft, DraftError, drafted, scalar, slug_of, words_of
from builder.publish.target import renames
from builder.read.checks.plausible import DRAFT_TEXTS
from builder.read.library import read_library
from builder.read.nodes import Node, parse_nodes
from builder.read.notation import IDENTIFIER
from builder.read.records import Library
from builder.read.source import Source
from builder.reckon.advice import appraise
from builder.reckon.totals import totals_of

ROOT: Final = Path(__file__).resolve().parents[2]


def draft(library: Path, *words: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(main, ["draft", *words, "--library", str(library)], input=stdin)


def sound(library: Path) -> Library:
    """The library, in which nothing but the texts of the draft has a finding, advice from the numbers included."""
    read = read_library(library, "library", appraise)
    assert {(one.rule, one.severity) for one in read.findings} == {("draft-text", "warning")}
    assert read.library is not None
    return read.library


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A library of one playbook, begun by a draft."""
    folder = tmp_path / "library"
    assert draft(folder, "slow-warm-up", "--area", "cooling").exit_code == 0
    return folder


def test_every_text_of_a_draft_waits_to_be_filled_in(library: Path) -> None:
    root, _ = parse_nodes(Source("", (library / "cooling/slow-warm-up.yaml").read_text(encoding="utf-8")))
    assert root is not None
    said = {node.text for node in texts(root) if " " in node.text and node.text[0].isupper()}
    assert said - {"Slow warm up", "Hand over to a professional"} == DRAFT_TEXTS


def texts(node: Node) -> Iterator[Node]:
    yield node
    for inner in (*node.items, *node.entries.values()):
        yield from texts(inner)


def test_the_draft_shows_what_few_find_by_themselves(library: Path) -> None:
    book = sound(library).playbooks["slow-warm-up"]
    assert book.also
    assert book.endings["first-repair"].prove
    assert book.steps["second-step"].after == {"first-step": ()}


def test_draft_in_a_missing_folder_begins_a_library_without_findings(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "library"
    done = draft(folder, "slow-warm-up", "--area", "cooling")
    assert done.exit_code == 0
    assert done.stdout.startswith(f"{folder}/cooling/slow-warm-up.yaml: ")
    assert sorted(files(folder)) == [
        "catalogue/access.yaml",
        "catalogue/hazards.yaml",
        "catalogue/parts.yaml",
        "catalogue/tools.yaml",
        "cooling/slow-warm-up.yaml",
        "library.yaml",
    ]
    begun = sound(folder)
    assert {name: area.title for name, area in begun.settings.areas.items()} == {"cooling": "Cooling"}
    assert begun.playbooks["slow-warm-up"].title == "Slow warm up"


def test_draft_in_an_empty_folder_begins_a_library(tmp_path: Path) -> None:
    empty = tmp_path / "library"  # what stands beside it counts as well
    (empty / ".git").mkdir(parents=True)
    assert draft(empty, "slow-warm-up", "--area", "cooling").exit_code == 0
    assert list(sound(empty).playbooks) == ["slow-warm-up"]


def test_draft_has_shares_and_chances_so_that_odds_show(library: Path) -> None:
    totals = totals_of("slow-warm-up", sound(library))
    assert totals.expected is not None
    assert totals.settled is not None
    assert 0.5 < totals.settled < 1
    assert len(totals.paths) == 3


def test_library_begun_by_a_draft_builds(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "site"
    done = CliRunner().invoke(main, ["build", "--library", str(library), "--out", str(out), "--workers", "1"])
    assert done.exit_code == 0, done.stderr
    assert "What it will probably cost" in (out / "playbook/slow-warm-up.html").read_text(encoding="utf-8")


def test_second_draft_adds_a_playbook_and_changes_nothing_else(library: Path) -> None:
    before = files(library)
    assert draft(library, "overheats", "--area", "cooling", "--title", "Overheats: #1 symptom").exit_code == 0
    after = files(library)
    assert {name: after[name] for name in before} == before
    assert after.keys() - before.keys() == {"cooling/overheats.yaml"}
    assert sound(library).playbooks["overheats"].title == "Overheats: #1 symptom"


def test_draft_in_the_demo_library_has_texts_to_fill_in_and_says_where_the_schema_is(tmp_path: Path) -> None:
    folder = tmp_path / "playbooks"
    for name, data in files(ROOT / "playbooks").items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    before = read_library(folder, "library", appraise).findings
    assert draft(folder, "stays-cold", "--area", "cooling").exit_code == 0
    after = read_library(folder, "library", appraise).findings
    assert tuple(one for one in after if one.rule != "draft-text") == before
    first = (folder / "cooling/stays-cold.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=https://example.org/tamarin/schema/playbook.json"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["Slow_Warm Up", "--area", "cooling"], "`Slow_Warm Up` is not a slug; did you mean `slow-warm-up`?"),
        (["Kühler.yaml", "--area", "cooling"], "did you mean `kuhler`?"),
        (["../x", "--area", "cooling"], "`../x` is not a slug; did you mean `x`?"),
        (["%", "--area", "cooling"], "use small letters a-z, digits and hyphens only"),
        (["x", "--area", "coolin"], "the library has no area `coolin`; did you mean `cooling`?"),
        (["x", "--area", "catalogue"], "the library has no area `catalogue`"),
        (["slow-warm-up", "--area", "cooling"], "the slug `slow-warm-up` is in use: "),
        (["x", "--area", "cooling", "--title", "  "], "the title is empty"),
        (["x", "--area", "cooling", "--title", "two\nlines"], "write it on one line"),
        (["x", "--area", "cooling", "--title", "a \u202e b"], "characters that do not show"),
        (["x"], "name the area with --area; known: `cooling`"),
        ([], "Missing argument 'SLUG'"),
    ],
)
def test_wrong_usage_is_explained_and_writes_nothing(library: Path, words: list[str], said: str) -> None:
    before = files(library)
    done = draft(library, *words)
    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""
    assert files(library) == before


@pytest.mark.parametrize(
    ("area", "said"),
    [("catalogue", "`catalogue` cannot be an area"), ("Cool Things", "did you mean `cool-things`?")],
)
def test_area_of_a_new_library_is_a_name(tmp_path: Path, area: str, said: str) -> None:
    done = draft(tmp_path / "new", "x", "--area", area)
    assert done.exit_code == 2
    assert said in done.stderr
    assert not (tmp_path / "new").exists()


def test_slug_that_another_area_uses_is_in_use(library: Path) -> None:
    settings = library / "library.yaml"
    settings.write_text(settings.read_text(encoding="utf-8").replace("areas:", "areas:\n  engine: Engine"), "utf-8")
    done = draft(library, "slow-warm-up", "--area", "engine")
    assert done.exit_code == 2
    assert f"{library}/cooling/slow-warm-up.yaml" in done.stderr


def test_slug_that_a_playbook_had_before_is_in_use(library: Path) -> None:
    path = library / "cooling/slow-warm-up.yaml"
    path.write_text(f"was: [cold-heater]\n{path.read_text(encoding='utf-8')}", encoding="utf-8")
    done = draft(library, "cold-heater", "--area", "cooling")
    assert done.exit_code == 2
    assert "`cold-heater` is in use: slow-warm-up had it before" in done.stderr


def test_slug_of_a_file_that_cannot_be_read_is_in_use(library: Path) -> None:
    path = library / "cooling/broken.yaml"
    path.write_text("title: [", encoding="utf-8")
    assert draft(library, "broken", "--area", "cooling").exit_code == 2
    assert path.read_text(encoding="utf-8") == "title: ["


def test_other_playbooks_with_errors_do_not_hinder(library: Path) -> None:
    (library / "cooling/broken.yaml").write_text("title: [", encoding="utf-8")
    assert draft(library, "overheats", "--area", "cooling").exit_code == 0


def test_broken_settings_are_shown_and_nothing_is_written(library: Path) -> None:
    (library / "library.yaml").write_text("title: [", encoding="utf-8")
    before = files(library)
    done = draft(library, "overheats", "--area", "cooling")
    assert done.exit_code == 1
    assert "[syntax]" in done.stderr
    assert files(library) == before


def test_folder_with_other_files_is_not_taken_for_a_new_library(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("notes", encoding="utf-8")
    done = draft(tmp_path, "x", "--area", "cooling")
    assert done.exit_code == 1
    assert "[no-settings]" in done.stderr
    assert sorted(files(tmp_path)) == ["notes.txt"]


def test_a_new_library_is_said_to_be_one(tmp_path: Path) -> None:
    done = draft(tmp_path / "mine", "slow-warm-up", "--area", "cooling")
    assert done.stdout.splitlines()[1].startswith(f"{tmp_path / 'mine'} is a new library: put its title")


def test_no_library_is_founded_within_another(library: Path) -> None:
    before = files(library)
    done = draft(library / "cooling/mine", "x", "--area", "cooling")
    assert done.exit_code == 2
    assert f"within the library {library.resolve()}" in done.stderr
    assert files(library) == before


def test_beside_a_library_another_is_founded_only_if_that_is_said(library: Path) -> None:
    other = library.parent / "librari"
    done = draft(other, "x", "--area", "cooling")
    assert done.exit_code == 2
    assert "add to that with --library" in done.stderr
    assert not other.exists()
    assert draft(other, "x", "--area", "cooling", "--new").exit_code == 0


@pytest.mark.parametrize(("answer", "code"), [(True, 0), (False, 2)])
def test_a_terminal_is_asked_before_a_library_is_founded_beside_another(
    library: Path, monkeypatch: pytest.MonkeyPatch, answer: bool, code: int
) -> None:
    monkeypatch.setattr("builder.commands.draft.sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr(click, "confirm", lambda *_, **__: answer)
    monkeypatch.setattr(click, "prompt", lambda text, **_: text)
    words = ["draft", "x", "--area", "cooling", "--library", str(library.parent / "other")]
    if answer:
        main(words, standalone_mode=False)
        assert (library.parent / "other/cooling/x.yaml").exists()
    else:
        with pytest.raises(click.UsageError):
            main(words, standalone_mode=False)


@pytest.mark.parametrize("can", [True, False])
@pytest.mark.parametrize("there", [True, False])
def test_file_that_appears_meanwhile_is_kept(
    library: Path, monkeypatch: pytest.MonkeyPatch, there: bool, can: bool
) -> None:
    """Also on a file system that cannot refuse to write over a file."""
    path = library / "cooling/overheats.yaml"
    rename = renames.flagged_rename

    def late(new: Path, target: Path, flag: int) -> bool:
        if there:
            path.write_text("theirs", encoding="utf-8")
        return can and rename(new, target, flag)

    monkeypatch.setattr(renames, "flagged_rename", late)
    done = draft(library, "overheats", "--area", "cooling")
    assert done.exit_code == (2 if there else 0)
    assert (f"{path} is there already" in done.stderr) is there
    assert path.read_text(encoding="utf-8").startswith("theirs" if there else "format: 1\n")
    assert not [name for name in files(library) if name.endswith(".new")]


def test_full_disk_is_the_machines_fault_and_leaves_no_file(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = files(library)

    def full(self: Path, *how: object, **more: object) -> None:
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "open", full)
    done = draft(library, "overheats", "--area", "cooling")
    monkeypatch.undo()
    assert done.exit_code == 3
    assert "No space left on device" in done.stderr
    assert files(library) == before


def test_terminal_is_asked_for_what_is_missing(library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[str, object]] = []

    def prompt(text: str, **how: object) -> str:
        asked.append((text, how.get("default")))
        return {"Area": "cooling", "Title": "It boils"}[text]

    monkeypatch.setattr("builder.commands.draft.sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr(click, "prompt", prompt)
    main(["draft", "boils", "--library", str(library)], standalone_mode=False)
    assert asked == [("Area", None), ("Title", "Boils")]
    assert sound(library).playbooks["boils"].title == "It boils"


def test_command_without_a_terminal_never_waits(
    library: Path, run_builder: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    done = run_builder("draft", "boils", "--library", library)
    assert done.returncode == 2
    assert "name the area with --area" in done.stderr


@given(st.text(min_size=1))
def test_any_title_that_is_taken_is_read_back_to_the_letter(title: str) -> None:
    try:
        text = drafted(Draft("x", "cooling", title), None, {})["cooling/x.yaml"]
    except DraftError:
        return
    node, findings = parse_nodes(Source("x", text))
    assert findings == []
    assert node is not None
    assert node.entries["title"].text == title.strip()


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Fan is dead", "Fan is dead"),
        ("Fan: dead", '"Fan: dead"'),
        ("No. 1 #dead", '"No. 1 #dead"'),
        ("- dash", '"- dash"'),
        ("*star", '"*star"'),
        ('say "no"', 'say "no"'),
        ("{curly}", '"{curly}"'),
    ],
)
def test_title_is_quoted_only_where_yaml_needs_it(text: str, written: str) -> None:
    assert scalar(text) == written


@given(st.text())
def test_slug_of_words_is_a_slug_or_nothing(words: str) -> None:
    slug = slug_of(words)
    assert slug == "" or IDENTIFIER.match(slug)
    assert slug_of(words_of(slug)) == "-".join(part for part in slug.split("-") if part)
