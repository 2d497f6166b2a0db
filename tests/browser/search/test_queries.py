"""Owners' words find the playbook: 95 of 100 playbooks that are right stand among the first three.

A query is a line, ``library | what is typed | slugs of the playbooks that are right``. They were written before the
search was tuned; the odd ones of each file were tuned on, the even ones were not looked at. Those in ``fresh/`` came
afterwards.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

import pytest

HERE: Final = Path(__file__).parent / "queries"
SHOWN: Final = 3
ENOUGH: Final = 0.95

Find = Callable[[str, Sequence[str]], list[list[str]]]
Query = tuple[str, str, frozenset[str]]

FILES: Final = [path.relative_to(HERE).as_posix() for path in sorted(HERE.rglob("*.txt"))]


def queries(name: str) -> list[Query]:
    lines = [
        line for line in (HERE / name).read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")
    ]
    parts = [[part.strip() for part in line.split("|")] for line in lines]
    return [(library, typed, frozenset(slug.strip() for slug in slugs.split(","))) for library, typed, slugs in parts]


def hit_rate(part: Sequence[Query], find: Find) -> tuple[float, list[str]]:
    """The share of the right playbooks among the first three, and the queries that miss one."""
    found = {
        library: iter(find(library, [typed for name, typed, _ in part if name == library])) for library, _, _ in part
    }
    hits = [(typed, right, right & set(next(found[library])[:SHOWN])) for library, typed, right in part]
    missed = [f"{typed}: {sorted(right - hit)}" for typed, right, hit in hits if hit < right]
    return sum(len(hit) for _, _, hit in hits) / sum(len(right) for _, right, _ in hits), missed


@pytest.mark.parametrize("half", [0, 1], ids=["tuned", "kept"])
@pytest.mark.parametrize("name", FILES)
def test_owners_words_find_the_playbook(name: str, half: int, find: Find) -> None:
    rate, missed = hit_rate(queries(name)[half::2], find)
    assert rate >= ENOUGH, missed


def test_there_are_enough_queries_and_each_names_playbooks_that_exist(libraries) -> None:
    own = {name: queries(name) for name in FILES if "/" not in name}
    assert {
        name: len(part) >= least for (name, part), least in zip(own.items(), (50, 100, 50), strict=True)
    } == dict.fromkeys(own, True)
    for part in map(queries, FILES):
        for library, typed, right in part:
            assert right <= libraries[library].playbooks.keys(), typed


def test_no_query_stands_twice() -> None:
    typed = [(library, query.casefold()) for name in FILES for library, query, _ in queries(name)]
    assert sorted({one for one in typed if typed.count(one) > 1}) == []
