"""Sheets to print and to take to the car: one of a whole playbook, and one for each of its likeliest paths."""

from collections.abc import Iterator
from typing import Any

from markupsafe import escape

from builder.publish.build import Build
from builder.publish.guard import require_sheet_panels, require_work_panels
from builder.publish.pages import address
from builder.publish.pages.pages import Rendered
from builder.publish.pages.views import PathView, PlaybookView
from builder.read.hazards import BANNER


def path_steps(path: PathView) -> list[tuple[str, str]]:
    """Names of the steps of a path, each with its result."""
    return list(zip(path.totals.steps, path.totals.results, strict=True))


def whole_sheet(build: Build, view: PlaybookView) -> Rendered:
    """The sheet of all of a playbook: steps by their numbers, results by letters, endings by capital letters.

    Raises:
        BannerError: it lacks the safety banner, or a panel where the banner must repeat.
    """
    page = address.page("sheet", view.playbook.slug)
    letters = {ending.name: ending.mark for ending in view.endings}
    made = build.pages.render("whole_sheet.html", page, view=view, hazards_banner=view.banner, letters=letters)
    panels = {f"{work.kind}-{work.name}": build.pages.panels_of(work.hazards) for work in view.nodes.values()}
    require_work_panels(page, made.text, panels)
    return made


def path_sheets(build: Build, view: PlaybookView) -> Iterator[Rendered]:
    """The sheet of each of the likeliest paths; what they share is rendered once for all.

    Raises:
        BannerError: one lacks the safety banner, or a panel where the banner must repeat.
    """
    if not view.paths:
        return
    shared = _pieces(build, view)
    shown = build.pages.environment.filters["units"]
    panels = {
        i: (str(escape(shown(work.work.title))), build.pages.panels_of(work.hazards)) for i, work in view.nodes.items()
    }
    for path in view.paths:
        if not path.ready:
            continue
        hazards = [hazard for hazard in view.hazards if hazard.name in path.totals.hazards]
        made = build.pages.render(
            "sheet.html",
            path.sheet,
            view=view,
            path=path,
            path_steps=path_steps(path),
            hazards=[hazard for hazard in hazards if hazard.name not in BANNER],
            hazards_banner=[hazard for hazard in hazards if hazard.name in BANNER],
            **shared,
        )
        require_sheet_panels(path.sheet, made.text, [panels[i] for i in path.nodes if i in panels])
        yield made


def _pieces(build: Build, view: PlaybookView) -> dict[str, Any]:
    """Pieces of sheets: what each step says and how it goes on, what follows each ending, hazards and tools."""
    book = view.playbook
    page = view.paths[0].sheet
    pieces, _ = build.pages.macros("sheet_pieces.html", page)  # what they use, the page of the playbook uses as well
    steps = {i: work for i, work in view.nodes.items() if work.kind == "step"}
    own_page = address.page("playbook", book.slug)
    return {
        "said": {i: pieces.said(work, book) for i, work in view.nodes.items()},
        "goes_on": {
            (i, choice.name): pieces.goes_on(work, choice.name, own_page)
            for i, work in steps.items()
            for choice in work.choices
        },
        "after": {i: pieces.after(work) for i, work in view.nodes.items() if work.kind == "ending"},
        "panels": {hazard.name: pieces.panel(hazard) for hazard in view.hazards},
        "tools": {name: pieces.tool(tool) for name, tool in view.tools},
    }
