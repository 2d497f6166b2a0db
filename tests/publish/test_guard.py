"""The guard: a theme cannot leave out, move, empty or hide the safety banner."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.publish.guard import (
    BannerError,
    Panel,
    require_banner,
    require_sheet_panels,
    require_work_panels,
)
from builder.publish.pages.theme import theme_folder

Run = Callable[..., Any]
Plain = dict[str, Any]

LIFT: Final = Panel("Lifting", '<div class="danger">DANGER It crushes. Use stands.')
TIME: Final = Panel("Timing", '<div class="warning">WARNING It breaks. Lock it.')
OPEN: Final = '<section class="banner" role="region" aria-label="Safety banner">'
SKIP: Final = '<a class="skip" href="#main">Skip</a>'


def page(*body: str, attributes: str = "") -> str:
    return f"<html><head></head><body{attributes}>\n" + "\n".join(body) + "\n</body></html>"


# -- The banner --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("attributes", ["", ' data-playbook="horn"', ' class="dark" data-path="a b"'])
@pytest.mark.parametrize("skip", [[], [SKIP]])
def test_a_banner_that_comes_first_passes(attributes: str, skip: list[str]) -> None:
    html = page(*skip, OPEN, f"{LIFT.html} <a>More</a></div>", f"{TIME.html}</div></section>", attributes=attributes)
    require_banner("a.html", html, [LIFT, TIME])


def test_a_page_that_needs_no_banner_passes() -> None:
    require_banner("a.html", page("<main></main>"), [])


@pytest.mark.parametrize(
    "html",
    [
        page(SKIP, "<main></main>"),
        page("<header></header>", OPEN, LIFT.html, TIME.html, "</section>"),
        page("text", OPEN, LIFT.html, TIME.html, "</section>"),
        page(OPEN.replace(">", " hidden>"), LIFT.html, TIME.html, "</section>"),
        page(OPEN.replace("section", "template"), LIFT.html, TIME.html, "</template>"),
        page("<div hidden>", OPEN, LIFT.html, TIME.html, "</section></div>"),
        page(OPEN, LIFT.html, TIME.html, "</section>", attributes=" hidden"),
        page(OPEN, LIFT.html, TIME.html, "</section>", attributes=' style="display: none"'),
        page("<!--", OPEN, LIFT.html, TIME.html, "</section> -->"),
        page(OPEN, LIFT.html, "</section>"),
        page(OPEN, LIFT.html, "</section>", TIME.html),
        page(OPEN, TIME.html, LIFT.html, "</section>"),
        page(OPEN, "<!--", LIFT.html, TIME.html, "-->", "</section>"),
        page(OPEN, LIFT.html, "<!--", TIME.html, "-->", "</section>"),
        page(OPEN, "<p>First</p>", LIFT.html, TIME.html, "</section>"),
        page(OPEN, LIFT.html.replace("DANGER", ""), TIME.html, "</section>"),
        page(OPEN, LIFT.html.replace("Use stands.", ""), TIME.html, "</section>"),
        page(OPEN, LIFT.html, TIME.html),
    ],
)
def test_a_banner_that_is_missing_moved_hidden_or_changed_is_refused(html: str) -> None:
    with pytest.raises(BannerError, match=r"^a\.html: the safety banner"):
        require_banner("a.html", html, [LIFT, TIME])


# -- Steps and endings -------------------------------------------------------------------------------------------------


def test_each_step_must_hold_its_own_panels() -> None:
    good = f'<p id="step-a">{LIFT.html}</p><p id="step-b"></p><p id="ending-c">{TIME.html}</p>'
    works = {"step-a": [LIFT], "step-b": [], "ending-c": [TIME]}
    require_work_panels("a.html", good, works)
    moved = f'<p id="step-a"></p><p id="step-b">{LIFT.html}</p><p id="ending-c">{TIME.html}</p>'
    with pytest.raises(BannerError, match=r"`step-a` does not repeat the panel “Lifting”"):
        require_work_panels("a.html", moved, works)
    gone = f'<p id="step-a">{LIFT.html}</p>'
    with pytest.raises(BannerError, match=r"`ending-c` does not repeat the panel “Timing”"):
        require_work_panels("a.html", gone, works)


def test_steps_may_come_in_any_order_on_a_page() -> None:
    html = f'<p id="ending-c">{TIME.html}</p><p id="step-a">{LIFT.html}</p>'
    require_work_panels("a.html", html, {"step-a": [LIFT], "ending-c": [TIME]})


def test_a_sheet_repeats_a_panel_as_often_as_its_path_meets_it() -> None:
    works = [("Raise", [LIFT]), ("Look", []), ("Lower", [LIFT])]
    banner = f"{OPEN}{LIFT.html}</section>"
    require_sheet_panels("a.html", f"{banner}Raise {LIFT.html} Look Lower {LIFT.html}", works)
    for missing in (f"{banner}Raise Look Lower {LIFT.html}", f"{banner}Raise {LIFT.html} Look Lower", banner):
        with pytest.raises(BannerError, match="does not repeat"):
            require_sheet_panels("a.html", missing, works)


# -- Builds ------------------------------------------------------------------------------------------------------------

# What a theme leaves out of a built-in template: the template, a piece of it, what stands in its place, what is said.
FAULTS: Final = {
    "no banner": ("base.html", "{% block banner %}{% endblock %}", "", "playbook/horn.html: the safety banner"),
    "banner below": (
        "base.html",
        '{% block banner %}{% endblock %}\n{{ frame("header.html") }}',
        '{{ frame("header.html") }}{% block banner %}{% endblock %}',
        "playbook/horn.html: the safety banner is not the first thing on the page",
    ),
    "no advice": (
        "parts.html",
        "{{ hazard.record.avoid|quantities }}\n{% if steps_of",
        "{% if steps_of",
        "the safety banner",
    ),
    "no panel at steps": ("playbook.html", "{{ signal_panel(hazard) }}", "", "`step-under` does not repeat the panel"),
    "no panel on sheets": (
        "sheet_pieces.html",
        "{{ signal_panel(hazard) }}\n{% endfor %}",
        "{% endfor %}",
        "path/horn--",
    ),
    "no panel in the walk": (
        "walk_hazard.html",
        "{{ signal_panel(hazard) }}",
        "",
        "data/playbook/horn.js: a step or an ending",
    ),
    "no banner on items": ("item.html", "{{ banner(hazards_banner, link) }}", "", "html: the safety banner"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_theme_that_leaves_the_banner_out_somewhere_fails_the_build_and_leaves_the_old_site(
    small_library: Path, tmp_path: Path, run_builder: Run, tree: Run, fault: str
) -> None:
    template, piece, instead, says = FAULTS[fault]
    book = small_library / "area" / "horn.yaml"  # the likeliest path, whose sheet is ready, leads under the car
    book.write_text(book.read_text(encoding="utf-8").replace('"60%"', '"10%"'), encoding="utf-8")
    site, theme = tmp_path / "site", tmp_path / "theme"
    assert run_builder("build", "--library", small_library, "--out", site).returncode == 0
    before = tree(site)
    built_in = (theme_folder() / "templates" / template).read_text(encoding="utf-8")
    assert piece in built_in
    (theme / "templates").mkdir(parents=True)
    (theme / "templates" / template).write_text(built_in.replace(piece, instead), encoding="utf-8")
    done = run_builder("build", "--library", small_library, "--out", site, "--theme", theme)
    assert done.returncode == 1
    assert "the theme is at fault: " in done.stderr
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert tree(site) == before


def test_a_theme_that_hides_the_banner_by_style_fails_the_build(
    small_library: Path, tmp_path: Path, run_builder: Run
) -> None:
    (tmp_path / "theme" / "assets").mkdir(parents=True)
    (tmp_path / "theme" / "assets" / "card.css").write_text(".banner { display: none; }", encoding="utf-8")
    out = tmp_path / "site"
    done = run_builder("build", "--library", small_library, "--out", out, "--theme", tmp_path / "theme")
    assert done.returncode == 1
    assert "card.css: `.banner` hides the safety banner" in done.stderr
    assert not out.exists()


def test_words_of_a_hazard_that_need_escaping_and_units_pass_the_guard(
    tmp_path: Path, write_library: Run, run_builder: Run, horn: Plain
) -> None:
    hazard = {
        "name": "Lifting & <lowering>",
        "signal": "danger",
        "harm": 'A car of 1200 kg "falls" <b>fast</b> & it\'s heavy.',
        "avoid": "Keep 2 m away; tighten to 110 Nm.",
    }
    library = write_library(tmp_path / "library", {"area/horn": horn}, catalogue={"hazards": {"lifting": hazard}})
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert (done.returncode, done.stderr) == (0, "")
