"""The search over a large site: an index of 1 MB at most, always the same, in which the right things are found."""

import json
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Final

import pytest

BENCH: Final = Path(__file__).resolve().parents[2] / "bench"
LARGE: Final = 2000
ROOM: Final = 1_000_000


@pytest.fixture(scope="module")
def large_index() -> str:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "path", [str(BENCH), *sys.path])
        spec = spec_from_file_location("bench_search", BENCH / "search.py")
        assert spec
        assert spec.loader
        module = module_from_spec(spec)
        spec.loader.exec_module(module)
        return module.large_index(LARGE)


def test_the_index_of_2000_playbooks_is_small_and_searched_rightly(large_index, modules) -> None:
    assert len(large_index.encode()) <= ROOM
    queries = ["wiper motor 1999", "wipper moter 1999", "blow 1980", "p07cf", "corroded plgu", "tool 17"]
    motor, slip, begun, code, cause, tool = modules.evaluate(
        """([data, queries]) => {
            const found = new droplight.finder.Finder(data);
            return queries.map((query) => found.find(query));
        }""",
        [json.loads(large_index), queries],
    )
    assert motor["playbooks"][0]["title"].startswith("Wiper motor 1999 ")
    assert slip["playbooks"][0]["title"].startswith("Wiper motor 1999 ")
    assert begun["playbooks"][0]["title"].startswith("Blower 1980 ")
    assert [one["title"].split()[2] for one in code["playbooks"]] == ["1999"]
    assert cause["causes"][0]["title"].startswith("Corroded plug")
    assert tool["tools"][0]["title"] == "Tool 17"
    assert max(len(motor[kind]) for kind in ("playbooks", "steps", "causes")) <= 24
