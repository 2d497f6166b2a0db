"""Structured data: what a search engine reads of a playbook, https://schema.org/HowTo."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.reckon.totals import totals_of
from tests.demo import demo_library

Run = Callable[..., Any]

BLOCK: Final = re.compile(r'<script type="application/ld\+json">(.*?)</script>', re.DOTALL)


def how_to(page: str) -> dict[str, Any]:
    (block,) = BLOCK.findall(page)
    read: dict[str, Any] = json.loads(block)
    return read


@pytest.mark.parametrize("slug", ["fan-on-top-speed-only", "overheats-in-traffic"])
def test_a_playbook_is_a_how_to_with_its_steps_in_order(site_dir: Path, slug: str) -> None:
    page = (site_dir / "playbook" / f"{slug}.html").read_text(encoding="utf-8")
    data = how_to(page)
    assert (data["@context"], data["@type"]) == ("https://schema.org", "HowTo")
    assert [step["position"] for step in data["step"]] == list(range(1, len(data["step"]) + 1))
    for step in data["step"]:
        assert step["@type"] == "HowToStep"
        assert f'id="{step["url"].removeprefix("#")}"' in page
    # schema.org: totalTime is an ISO 8601 duration, estimatedCost a MonetaryAmount with an ISO 4217 currency.
    assert re.fullmatch(r"PT\d+M", data["totalTime"])
    assert data["estimatedCost"]["@type"] == "MonetaryAmount"
    assert data["estimatedCost"]["currency"] == "EUR"
    library = demo_library()
    expected = totals_of(slug, library).expected
    assert data["totalTime"] == f"PT{round(expected.minutes)}M"
    assert data["estimatedCost"]["value"] == round(expected.money, 2)


def test_a_title_that_closes_the_element_is_harmless(
    tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any], run_builder: Run
) -> None:
    title = "Dead </script><script>alert(1)</script> <!-- ' \" & horn"
    library = write_library(tmp_path / "library", {"area/horn": {**horn, "title": title}})
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "site" / "playbook" / "horn.html").read_text(encoding="utf-8")
    assert how_to(page)["name"] == title
    assert "alert(1)</script>" not in page
    assert "<!--" not in page
