"""A build: all that writing pages needs, made once and shared by every worker."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from builder.draw.figures import figures_of
from builder.publish.pages.cards import Card
from builder.publish.pages.index import Index
from builder.publish.pages.pages import Pages
from builder.publish.pages.theme import BUILT_IN, Theme
from builder.read.history import History
from builder.read.records import Library
from builder.reckon.order.verdict import Verdict


class AddressTakenError(Exception):
    """Two things of the site have one address: a defect of the program, which must not pass unnoticed."""


@dataclass(frozen=True)
class Build:
    """``folder`` is where pages are written to, ``titles`` are those of all playbooks by slug.

    ``archive`` says whether the site is also wanted as one file; ``verdicts`` are those on the orders of playbooks, by
    slug, where they were looked into.
    """

    library: Library
    library_root: Path
    index: Index
    titles: Mapping[str, str]
    assets: Mapping[str, str]
    folder: Path
    dot: Path | None
    history: History
    theme: Theme = BUILT_IN
    archive: bool = True
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)

    @cached_property
    def pages(self) -> Pages:
        """What renders the site's pages."""
        return Pages(self.library, figures_of(self.library.settings), self.assets, self.history, self.theme)

    def write(self, page: str, text: str) -> None:
        """Write a text to a new file of the site.

        Raises:
            AddressTakenError: something else of the site has that address.
        """
        path = self.folder / page
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write(text)
        except FileExistsError as error:
            raise AddressTakenError(f"two pages of the site have the address {page}") from error


@dataclass(frozen=True, slots=True)
class Written:
    """What was written for a playbook: its card, the pages, and files of the library to bring along.

    ``needs`` are all files of the site, its own ones included, that an owner needs who takes along this playbook alone.
    """

    card: Card
    pages: Sequence[str]
    files: frozenset[str]
    needs: frozenset[str]


@dataclass(frozen=True, slots=True)
class Weight:
    """What a site weighs without its zip file: its pages, and bytes of what owners take along, of the largest page, and
    of what only editors need.
    """

    pages: int
    size: int
    largest: int
    editors: int

    def per(self, playbooks: int) -> str:
        """In words, for each of so many playbooks."""
        each = max(playbooks, 1)
        taken, editors = (f"{size / each / 1024:.0f} KiB" for size in (self.size, self.editors))
        return (
            f"{taken} and {self.pages / each:.1f} pages a playbook, the largest page {self.largest / 1024:.0f} KiB; "
            f"files for editors: {editors} a playbook"
        )
