"""`droplight order`: what it prints, and what it writes into a playbook."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.format import worked

KEYS = (
    *("slug", "currency", "written", "written_then_best", "playbook_shaped", "best", "bound", "at_once", "effort"),
    *("start", "next", "policy"),
)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """The worked library."""
    for name, text in worked.LIBRARY.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def ask(library: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["order", "--library", str(library), *arguments])


def test_json_has_the_keys_of_the_format_in_their_order(library: Path) -> None:
    found = json.loads(ask(library, worked.SLUG, "--json").stdout)
    assert tuple(found) == KEYS
    assert found["bound"] <= found["best"] <= found["playbook_shaped"] <= found["written"]
    assert found["best"] <= found["written_then_best"] <= found["written"]
    assert found["next"].keys() == {"listen", "check-fuse", "measure-at-pump"}
    assert found["policy"][0]["chance"] == pytest.approx(1)
    assert {entry["kind"] for entry in found["policy"]} <= {"step", "ending", "professional"}
    places = [place for entry in found["policy"] for place in entry["to"].values()]
    assert all(0 < place < len(found["policy"]) for place in places)


def test_same_input_gives_the_same_bytes(library: Path) -> None:
    assert ask(library, worked.SLUG, "--json").stdout == ask(library, worked.SLUG, "--json").stdout


def test_a_playbook_without_an_order_of_its_own_has_none_written(library: Path) -> None:
    found = json.loads(ask(library, "horn-is-mute", "--json").stdout)
    assert found["written"] is None
    assert found["written_then_best"] is None
    totals = CliRunner().invoke(main, ["totals", "horn-is-mute", "--library", str(library), "--json"])
    assert json.loads(totals.stdout)["in_the_end"] == pytest.approx(found["playbook_shaped"])
    assert json.loads(totals.stdout)["at_once"] == pytest.approx(found["at_once"])


def test_the_table_tells_every_order_and_where_another_begins(library: Path) -> None:
    said = ask(library, worked.SLUG).stdout
    for words in ("as written", "playbook-shaped", "the best order", "cost less than", "handed over at once"):
        assert words in said
    assert "rather than" in said
    assert "saves" in said
    assert "the share of `" in said


def test_write_changes_start_and_next_alone_and_is_done_at_once(library: Path) -> None:
    file = library / worked.PATH
    file.write_text(f"# A comment.\n{worked.PLAYBOOK}", encoding="utf-8")
    before = file.read_text(encoding="utf-8")
    written = json.loads(ask(library, worked.SLUG, "--json").stdout)["written"]
    said = ask(library, worked.SLUG, "--write")
    assert said.exit_code == 0
    assert "written anew" in said.stderr
    after = file.read_text(encoding="utf-8")
    pairs = list(zip(before.splitlines(), after.splitlines(), strict=True))
    changed = [(old, new) for old, new in pairs if old != new]
    assert changed
    assert all(old.split(":")[0].strip() in ("start", "next") for old, _ in changed)
    assert all(old.split(":")[0] == new.split(":")[0] for old, new in changed)
    again = json.loads(ask(library, worked.SLUG, "--json").stdout)
    assert again["written"] < written
    said = ask(library, worked.SLUG, "--write")
    assert "nothing is gained" in said.stderr
    assert file.read_text(encoding="utf-8") == after


def test_what_has_no_order_of_its_own_is_not_written(library: Path) -> None:
    said = ask(library, "horn-is-mute", "--write")
    assert said.exit_code == 0
    assert "nothing to write" in said.stderr
    assert (library / worked.BEST_PATH).read_text(encoding="utf-8") == worked.BEST


def test_errors_refuse_it(library: Path) -> None:
    broken = worked.PLAYBOOK.replace("next: new-fuse", "next: nowhere")
    (library / worked.PATH).write_text(broken, encoding="utf-8")
    said = ask(library, worked.SLUG, "--write")
    assert said.exit_code == 1
    assert said.stdout == ""
    assert (library / worked.PATH).read_text(encoding="utf-8") == broken


def test_what_has_no_odds_has_no_order(library: Path) -> None:
    without = worked.PLAYBOOK.replace(", share: 45%", "").replace(", share: 15%", "").replace(", share: 32%", "")
    (library / worked.PATH).write_text(without, encoding="utf-8")
    said = ask(library, worked.SLUG)
    assert said.exit_code == 2
    assert "no shares or no chances" in said.stderr


def test_an_unknown_playbook_is_wrong_usage(library: Path) -> None:
    said = ask(library, "washer-spray-nothing")
    assert said.exit_code == 2
    assert f"`{worked.SLUG}`" in said.stderr
