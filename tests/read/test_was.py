"""Old slugs: a playbook says which it had, and each leads to one playbook."""

from pathlib import Path
from typing import Final

import pytest

from builder.format import worked
from builder.read.findings import Finding
from builder.read.library import read_library

OTHER: Final = worked.OTHER_PATH


def findings(root: Path, washer: str, wipers: str = "") -> list[Finding]:
    """Findings of the worked library whose two playbooks begin with these lines."""
    first = {worked.PATH: washer, OTHER: wipers}
    for name, text in worked.LIBRARY.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(first.get(name, "") + text, encoding="utf-8")
    return list(read_library(root, "library").findings)


def test_old_slugs_that_are_free_are_kept_in_their_order(tmp_path: Path) -> None:
    assert findings(tmp_path, "was: [no-water, washer-dead]\n", "was: [streaks]\n") == []
    library = read_library(tmp_path).library
    assert library is not None
    assert library.playbooks[worked.SLUG].was == ("no-water", "washer-dead")


@pytest.mark.parametrize(
    ("washer", "wipers", "file", "column", "message"),
    [
        ("was: [old, wipers-smear]\n", "", worked.PATH, 12, "the old slug `wipers-smear` is the slug of a playbook"),
        (f"was: [{worked.SLUG}]\n", "", worked.PATH, 7, f"the old slug `{worked.SLUG}` is the slug of a playbook"),
        ("was: [old]\n", "was: [old]\n", OTHER, 7, f"`old` is claimed twice; first in library/{worked.PATH}"),
        ("was: [old, old]\n", "", worked.PATH, 12, f"`old` is claimed twice; first in library/{worked.PATH}"),
    ],
)
def test_old_slug_that_is_not_free_is_an_error_at_its_place(
    tmp_path: Path, washer: str, wipers: str, file: str, column: int, message: str
) -> None:
    [found] = findings(tmp_path, washer, wipers)
    assert (found.rule, found.severity, found.file, found.line, found.column) == (
        "was-taken",
        "error",
        f"library/{file}",
        1,
        column,
    )
    assert message in found.message
    assert found.text == (wipers or washer).strip()


def test_old_slug_that_is_no_slug_is_an_error_at_its_place(tmp_path: Path) -> None:
    [found] = findings(tmp_path, "was: [old, Old Name]\n")
    assert (found.rule, found.line, found.column) == ("notation", 1, 12)
    assert "`Old Name` is not a name" in found.message


def test_the_first_that_claims_an_old_slug_is_named_to_all_later_ones(make_library, playbook) -> None:  # type: ignore[no-untyped-def]
    claim = playbook("format: 1", "format: 1\nwas: [blower]")
    root = make_library({f"cabin/{name}.yaml": claim for name in ("air", "bow", "cab")})
    said = [finding for finding in read_library(root).findings if finding.rule == "was-taken"]
    assert [finding.file.rpartition("/")[2] for finding in said] == ["bow.yaml", "cab.yaml"]
    assert all(finding.message.endswith("cabin/air.yaml") for finding in said)
