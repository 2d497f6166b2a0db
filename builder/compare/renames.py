"""Renames: what has another name than before, and whether it says which one it had."""

from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Final, NamedTuple

from builder.read.findings import WARNING, Finding
from builder.read.library import LibraryRead
from builder.read.records import Ending, Playbook, Result, Step

ALIKE: Final = 0.6
"""How alike the words of two steps or endings are that count as one (Ratcliff and Obershelp, of 1)."""
MOST: Final = 200
"""Names that left, times names that came, up to which likeness is looked for: it takes time in proportion."""

Named = Step | Ending | Result


class Rename(NamedTuple):
    """A playbook, step, ending or result that was called otherwise; ``said`` is whether its ``was`` says so."""

    kind: str
    was: str
    name: str
    said: bool


def works(old: Playbook, new: Playbook) -> dict[str, str]:
    """Steps and endings of a playbook that are in both, by their names before: those that they have now."""
    kept = {name: name for name in old.work().keys() & new.work().keys()}
    for kind in ("steps", "endings"):
        kept |= {one.was: one.name for one in _renamed(kind, getattr(old, kind), getattr(new, kind))}
    return kept


def renames(old: Playbook, new: Playbook) -> Iterator[Rename]:
    """Everything of a playbook that has another name than before."""
    if old.slug != new.slug:
        yield Rename("playbook", old.slug, new.slug, old.slug in new.was)
    yield from _renamed("steps", old.steps, new.steps)
    yield from _renamed("endings", old.endings, new.endings)
    for was, name in works(old, new).items():
        if was in old.steps and name in new.steps:
            yield from _renamed(f"results.{name}", old.steps[was].results, new.steps[name].results)


def unsaid_renames(old: LibraryRead, new: LibraryRead, pairs: Sequence[tuple[str, str]]) -> list[Finding]:
    """A finding for everything that was renamed and does not say so: old addresses and jobs lose their way."""
    found: list[Finding] = []
    for was, slug in pairs:
        for one in renames(old.playbooks[was], new.playbooks[slug]):
            if not one.said:
                found.append(_finding(new, new.playbooks[slug], one))
    return found


def _finding(side: LibraryRead, playbook: Playbook, rename: Rename) -> Finding:
    kind, _, step = rename.kind.partition(".")
    lines = side.library.lines.get(playbook.slug, {}) if side.library else {}
    line = lines.get(step or rename.name, 1) if kind != "playbook" else 1
    called = kind.removesuffix("s")
    message = f"the {called} `{rename.name}` seems to be what was `{rename.was}`, and does not say so"
    hint = f"add `was: [{rename.was}]` to it, so that old addresses and jobs find it"
    return Finding(f"{side.shown.rstrip('/')}/{playbook.path}", line, 1, "renamed", message, hint, WARNING)


def _renamed(kind: str, old: Mapping[str, Named], new: Mapping[str, Named]) -> Iterator[Rename]:
    """What left under one name and came under another: what says so, then what is most alike."""
    left = {name: _words(one) for name, one in old.items() if name not in new}
    came = {name: _words(one) for name, one in new.items() if name not in old}
    for name in list(came):
        was = next((one for one in new[name].was if one in left), None)
        if was:
            yield Rename(kind, was, name, said=True)
            del left[was], came[name]
    if len(left) * len(came) > MOST:
        return
    likely = [(_likeness(left[a], came[b]), a, b) for a in left for b in came]
    for likeness, was, name in sorted(likely, key=lambda one: (-one[0], one[1:])):
        if likeness >= ALIKE and was in left and name in came:
            yield Rename(kind, was, name, said=False)
            del left[was], came[name]


def _likeness(one: list[str], other: list[str]) -> float:
    return SequenceMatcher(None, one, other, autojunk=False).ratio()


def _words(one: Named) -> list[str]:
    """The words by which something is known again, whatever it is called."""
    said = one.expect if isinstance(one, Result) else f"{one.title} {one.do or ''}"
    return said.casefold().split()
