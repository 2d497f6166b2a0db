"""Limits: at each, a playbook is sound and its site is built; one above, there is one finding that says the limit."""

import re
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.format.schema import schema_of
from builder.read import extent, limits
from builder.read.library import LibraryRead, read_library
from builder.read.limits import LIMITS, Limit
from builder.read.records import Catalogue
from builder.read.records import Playbook as Record
from builder.reckon.advice import appraise
from tests.hostile.large import Playbook, chances, row

ROOT: Final = Path(__file__).resolve().parents[2]

Write = Callable[..., Path]
Make = Callable[[int], Playbook]

BASE: Final[dict[str, Any]] = {"title": "Test library", "currency": "EUR", "labour_rate": "60"}


def at(place: str, value: Any, **how: Any) -> Playbook:
    """A small playbook with a value at a place such as ``steps.s0.do``."""
    book = row(**how)
    *way, last = place.split(".")
    inner: Any = book
    for key in way:
        inner = inner[key]
    inner[last] = value
    return book


def names(count: int) -> list[str]:
    return [f"n{number}" for number in range(count)]


def wide(results: int) -> Playbook:
    """A playbook whose steps have so many results together, as few steps as that takes."""
    steps = -(-results // limits.RESULTS.most)
    book = row(steps, limits.RESULTS.most)
    last = book["steps"][f"s{steps - 1}"]["results"]
    for name in list(last)[results - (steps - 1) * limits.RESULTS.most :]:
        del last[name]
    for r, result in enumerate(last.values()):
        result["chance"] = chances(len(last), r, [], 0, graded=False)
    return book


def with_endings(count: int) -> Playbook:
    book = row(count - 1, own_endings=True)
    assert len(book["endings"]) == count
    return book


def shown(count: int) -> Playbook:
    """A playbook whose page shows about so many characters: never more, and one more where one more is asked for."""
    book = row(steps=60)
    for step in book["steps"].values():
        if room := min(limits.PROSE.most, count - seen(book)):
            step["do"] = "x" * room
    assert seen(book) == count
    return book


def seen(book: Playbook) -> int:
    return extent.shown_of(Record.model_validate({**plain(book), "slug": "x", "area": "y"}), Catalogue())


def plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    return [plain(inner) for inner in value] if isinstance(value, list) else str(value)


def passing(count: int) -> Playbook:
    """Thirty steps in a row, some with a line straight to the ending, whose lines pass so many places."""
    steps = 30
    book = row(steps)
    left = count - steps
    for s in range(steps - 1):
        if steps - s <= left and left - (steps - s) != 1:
            book["steps"][f"s{s}"]["results"]["r0"]["next"] = "e"
            left -= steps - s
    assert left == 0
    return book


MAKERS: Final[dict[Limit, tuple[Make, str]]] = {
    limits.TEXT: (lambda most: at("steps.s0.title", "x" * most), "too-long"),
    limits.PROSE: (lambda most: at("steps.s0.do", "x" * most), "too-long"),
    limits.NAME: (lambda most: at("steps.s0.results", {"x" * most: {"expect": "Seen", "next": "s1"}}), "too-long"),
    limits.ENTRIES: (lambda most: row(vehicles=names(most)), "too-many"),
    limits.CODES: (
        lambda most: row(symptom={"summary": "x", "codes": [f"P{number:04d}" for number in range(most)]}),
        "too-many",
    ),
    limits.WAS: (lambda most: row(was=names(most)), "too-many"),
    limits.CAUSES: (lambda most: row(named=most), "too-many"),
    limits.STEPS: (row, "too-many"),
    limits.RESULTS: (lambda most: row(1, most), "too-many"),
    limits.EDGES: (wide, "too-many"),
    limits.ENDINGS: (with_endings, "too-many"),
    limits.KINDS: (lambda most: at("steps.s0.tools", names(most)), "too-many"),
    limits.FILES: (lambda most: at("steps.s0.do", " ".join(f"[a](n{n}.txt)" for n in range(most))), "too-many"),
    limits.SHOWN: (shown, "too-many"),
    limits.DRAWN: (passing, "flowchart-left-out"),
}
"""Limits of a playbook: what makes one that has so many of it, and the rule that says when they are too many."""


@pytest.fixture
def read(tmp_path: Path, write_library: Write) -> Callable[[Playbook], LibraryRead]:
    """A library of one playbook, with tools and files that playbooks may name."""

    def read(book: Playbook) -> LibraryRead:
        tools = {name: {"name": "Tool", "price": 1} for name in names(limits.KINDS.most + 1)}
        root = write_library(tmp_path, {"area/horn": book}, {**BASE, "areas": {"area": "Area"}}, {"tools": tools})
        for number in range(limits.FILES.most + 1):
            (root / "area" / f"n{number}.txt").write_text("x")
        return read_library(root, appraise=appraise)

    return read


def told(read: LibraryRead) -> set[tuple[str, str]]:
    """Rules and messages with hints of what is about a limit."""
    rules = {"too-many", "too-long", "too-big", "flowchart-left-out"}
    return {(one.rule, f"{one.message}: {one.hint}") for one in read.findings if one.rule in rules}


@pytest.mark.parametrize("limit", MAKERS, ids=lambda limit: limit.what)
def test_at_the_limit_there_is_no_finding_of_it_and_one_above_there_is_one(
    limit: Limit, read: Callable[[Playbook], LibraryRead]
) -> None:
    make, rule = MAKERS[limit]
    within = read(make(limit.most))
    assert told(within) == set()
    assert within.sound, within.findings
    ((found, said),) = told(read(make(limit.most + 1)))
    assert found == rule
    assert limit.hint in said


def test_every_limit_says_what_and_why() -> None:
    assert len(set(LIMITS)) == len(LIMITS)
    for limit in LIMITS:
        assert limit.most > 0
        assert limit.what
        assert limit.why
        assert str(limit.most) in limit.hint


def test_the_schema_says_them() -> None:
    playbook, settings = schema_of("playbook"), schema_of("settings")
    step, ending = playbook["$defs"]["Step"]["properties"], playbook["$defs"]["Ending"]["properties"]
    own = playbook["properties"]
    assert own["steps"]["maxProperties"] == limits.STEPS.most
    assert own["endings"]["maxProperties"] == limits.ENDINGS.most
    assert own["causes"]["maxProperties"] == limits.CAUSES.most
    assert own["was"]["maxItems"] == ending["was"]["maxItems"] == limits.WAS.most
    assert own["title"]["maxLength"] == limits.TEXT.most
    assert own["steps"]["propertyNames"]["maxLength"] == limits.NAME.most
    assert step["results"]["maxProperties"] == limits.RESULTS.most
    assert step["do"]["maxLength"] == limits.PROSE.most
    assert step["tools"]["maxItems"] == step["parts"]["maxProperties"] == limits.ENTRIES.most
    assert playbook["$defs"]["Symptom"]["properties"]["codes"]["maxItems"] == limits.CODES.most
    assert settings["properties"]["areas"]["maxProperties"] == limits.AREAS.most


def test_areas_have_a_limit(tmp_path: Path, write_library: Write) -> None:
    for count, rules in ((limits.AREAS.most, set()), (limits.AREAS.most + 1, {"too-many"})):
        areas = dict.fromkeys(names(count), "Area")
        read = read_library(write_library(tmp_path / str(count), {"n0/horn": row()}, {**BASE, "areas": areas}))
        assert {rule for rule, _ in told(read)} == rules


def test_values_of_a_file_have_a_limit(tmp_path: Path, write_library: Write) -> None:
    """Each list counts as a value, and so does each thing in it."""
    root = write_library(tmp_path, {"area/horn": row()})
    (root / "catalogue").mkdir()
    for count, rules in ((limits.VALUES.most, set()), (limits.VALUES.most + 1, {"too-many"})):
        (root / "catalogue" / "tools.yaml").write_text(f"x: [{'a, ' * (count - 3)}]")
        assert {rule for rule, _ in told(read_library(root))} == rules


def test_a_file_that_owners_take_along_has_a_limit(tmp_path: Path, write_library: Write) -> None:
    """A sparse picture of 2.6 GB once took all memory."""
    root = write_library(tmp_path, {"area/horn": at("steps.s0.do", "![a](a.png)")})
    picture = root / "area" / "a.png"
    for size, count in ((limits.FILE_BYTES.most, 0), (limits.FILE_BYTES.most + 1, 1), (2_600_000_000, 1)):
        picture.touch()
        with picture.open("r+b") as file:
            file.truncate(size)
        found = [one for one in read_library(root).findings if one.rule == "bad-link"]
        assert len(found) == count
        assert all(limits.FILE_BYTES.hint in one.hint for one in found)


def test_digits_of_chances_have_a_limit(read: Callable[[Playbook], LibraryRead]) -> None:
    """Sums that are all a little different from 100 % once made numbers of a million digits."""
    book = row(60, 2, 3)
    for s, step in enumerate(book["steps"].values()):
        for r, result in enumerate(step["results"].values()):
            result["chance"] = f"{50 + (s * 7 + 1) * r / 10_000:.4f}%"
    ((rule, said),) = told(read(book))
    assert rule == "too-many"
    assert limits.DIGITS.hint in said
    for step in book["steps"].values():
        step["results"]["r1"]["chance"] = "rest"
    assert told(read(book)) == set()


def test_a_slug_has_the_length_of_a_name_and_is_no_device(tmp_path: Path, write_library: Write) -> None:
    slugs = {"x" * limits.NAME.most: 0, "x" * (limits.NAME.most + 1): 1, "nul": 1, "com1": 1, "com0": 0}
    for slug, count in slugs.items():
        root = write_library(tmp_path / slug[:5] / str(len(slug)), {f"area/{slug}": row(), "area/other": row()})
        assert sum(one.rule == "bad-slug" for one in read_library(root).findings) == count, slug


# -- What is within the limits is built, and costs little --------------------------------------------------------------

SECONDS: Final = 30
"""CPU seconds after which the system ends the build of a playbook: far above what one may cost, for slow machines."""
MEMORY: Final = 2**30
"""Address space of each process of such a build, programs and libraries included."""

LARGE: Final[dict[str, Make]] = {
    "steps and causes": lambda _: row(limits.STEPS.most, 2, 20, graded=True),
    "results": lambda _: row(50, limits.RESULTS.most, 10),
    "endings": lambda _: row(limits.ENDINGS.most - 1, own_endings=True),
    "one split after the other": lambda _: row(limits.STEPS.most, 2, splits=13),
    "a thousand results that lead far": lambda _: row(50, 20, 3, fan=20),
    "text": lambda _: shown(limits.SHOWN.most),
    "old names": lambda _: row(40, was=names(limits.WAS.most)),
    "hardly ever": lambda _: rare(limits.STEPS.most),
    "84 steps": lambda _: row(84),
    "40 steps with 10 results": lambda _: row(40, 10),
}
"""Playbooks that once ended a build, or took minutes and gigabytes, cut to what the limits allow."""


def rare(steps: int) -> Playbook:
    """A row of steps whose first result is as unlikely as can be written."""
    book = row(steps)
    for step in book["steps"].values():
        step["results"]["r0"]["chance"] = "0.000001%"
    return book


@pytest.mark.parametrize("what", LARGE)
def test_what_is_within_the_limits_is_built(what: str, tmp_path: Path, write_library: Write) -> None:
    """Silence of `check` about errors means that `build` succeeds, in bounded time and memory."""
    root = write_library(tmp_path / "library", {"area/horn": LARGE[what](0), "area/other": row()})
    read = read_library(root)
    assert read.sound, read.findings
    out = tmp_path / "site"
    command = [sys.executable, "-m", "builder", "build", "--library", root, "--out", out, "--workers", "1"]

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))

    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, preexec_fn=bounded, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    assert (out / "playbook" / "horn.html").exists()
    assert re.search(r"2 playbooks", done.stdout)
