"""Views: what the pages of one playbook show."""

from collections.abc import Callable
from typing import Any

from builder.publish.pages.views import playbook_view
from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals
from tests.reckon.conftest import make_library

__all__ = ["make_library"]

QUICK_AND_DEAR = {
    "steps": {
        "look": {
            "results": {
                "new": {"next": "buy"},
                "old": {"next": "clean"},
                "odd": {"next": "wait"},
            }
        }
    },
    "endings": {
        "buy": {"time": "5 min", "cost": "100"},
        "clean": {"time": "3 h", "cost": "2"},
        "wait": {"time": "1 h", "cost": "20"},
    },
}
"""The dearest path is the quickest, the cheapest the longest."""


def test_the_ends_of_the_range_are_by_money_and_by_time(make_library: Callable[..., Any]) -> None:
    library = make_library(QUICK_AND_DEAR)
    reckoning = reckoning_of(library.playbooks["x"], library.catalogue, library.settings)
    ends = playbook_view(reckoning, totals(reckoning, "EUR"), library.catalogue, {}).extremes
    found = [end.ending for end in (ends.cheapest, ends.dearest, ends.quickest, ends.longest)]
    assert found == ["clean", "buy", "buy", "clean"]
    assert ends.of_all
