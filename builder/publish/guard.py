"""The guard of the safety banner: no theme can leave out, move or empty it.

It compares text: what the built-in templates say of a hazard must stand on the page to the letter, where it belongs.
That is quick enough for every page of every build. What style sheets may not do is in :mod:`builder.publish.styles`;
a theme that sets out to deceive (a script that removes the banner, a style sheet that paints over it) is beyond both.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final


class BannerError(Exception):
    """A page lacks the safety banner, or a part of it, or a style sheet hides it."""


@dataclass(frozen=True, slots=True)
class Panel:
    """The panel of a hazard: its name as pages say it, and its HTML from the signal word to the end of the advice."""

    name: str
    html: str


# Only attributes that cannot hide what is within.
_ATTRIBUTES: Final = r'(?: (?:data-[a-z-]+|class|id)="[^"]*")*'
_BEGINNING: Final = re.compile(
    rf'<body{_ATTRIBUTES}>\s*(?:<a class="skip" href="#main">[^<]*</a>\s*)?'
    r'<section class="banner" role="region" aria-label="[^"]*">\s*'
)
_WORK: Final = re.compile(r'<[a-z]+[^>]* id="((?:step|ending)-[a-z0-9-]+)"')


def panel_html(panel: str) -> str:
    """What must stay of a rendered signal panel: all but its end, where links may follow the advice."""
    return panel.strip().removesuffix("</div>").rstrip().removesuffix("</p>")


def require_banner(page: str, html: str, panels: Sequence[Panel]) -> None:
    """Look for the banner with its panels at the beginning of a page.

    Raises:
        BannerError: it is not there, or something goes before it.
    """
    if not panels:
        return
    beginning = _BEGINNING.search(html)
    end = html.find("</section>", beginning.end()) if beginning else -1
    if not beginning or end < 0:
        raise BannerError(f"{page}: the safety banner is not the first thing on the page")
    place = beginning.end()
    for panel in panels:
        found = html.find(panel.html, place, end)
        if found < 0 or (panel is panels[0] and found != place) or "<!--" in html[place:found]:
            raise BannerError(f"{page}: the safety banner lacks the panel “{panel.name}” or changes it")
        place = found + len(panel.html)


def require_work_panels(page: str, html: str, works: Mapping[str, Sequence[Panel]]) -> None:
    """Look for panels within steps and endings, by the ``id`` of each; each reaches to where the next one begins.

    Raises:
        BannerError: a step or an ending is missing, or lacks a panel.
    """
    marks = [(mark.group(1), mark.start()) for mark in _WORK.finditer(html) if mark.group(1) in works]
    following = [start for _, start in marks[1:]] + [len(html)]
    places = {name: (start, end) for (name, start), end in zip(marks, following, strict=False)}
    for work, panels in works.items():
        start, end = places.get(work, (0, 0))
        for panel in panels:
            if html.find(panel.html, start, end) < 0:
                raise BannerError(f"{page}: `{work}` does not repeat the panel “{panel.name}”")


def require_walk_panels(page: str, html: str, panels: Sequence[Panel]) -> None:
    """Look for panels in what the walk shows before a step or an ending begins.

    Raises:
        BannerError: one is missing.
    """
    for panel in panels:
        if panel.html not in html:
            raise BannerError(f"{page}: a step or an ending of the walk lacks the panel “{panel.name}”")


def require_sheet_panels(page: str, html: str, works: Iterable[tuple[str, Sequence[Panel]]]) -> None:
    """Look behind the banner for the titles of steps and endings, as they stand in the HTML, each before its panels.

    Raises:
        BannerError: a panel does not come in its turn.
    """
    start = html.find("</section>")
    for title, panels in works:
        start = max(start, html.find(title, start))
        for panel in panels:
            found = html.find(panel.html, start)
            if found < 0:
                raise BannerError(f"{page}: “{title}” does not repeat the panel “{panel.name}”")
            start = found + len(panel.html)
