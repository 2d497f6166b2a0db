"""What can hurt, before and after a change, in words: what warns, what must hold, what is said at dangerous work."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal, NamedTuple

from builder.compare.differences import plain
from builder.compare.renames import works
from builder.compare.sentences import changed_sentences
from builder.read.library import LibraryRead
from builder.read.linked import Linked
from builder.read.prose import Link, links_and_html
from builder.read.records import Catalogue, Ending, Playbook, Settings, Step, Work

What = Literal[
    "hazards",
    "no_hazards",
    "who",
    "after",
    "preconditions",
    "mishap",
    "prove",
    "implies",
    "language",
    "notice",
    "pictures",
    "links",
    "file",
    "text",
]

ORDER: Final[tuple[What, ...]] = (
    "hazards",
    "no_hazards",
    "who",
    "after",
    "preconditions",
    "mishap",
    "prove",
    "pictures",
    "links",
    "text",
)
"""What is told first of a step or an ending."""

Told = tuple[str, ...]


class Change(NamedTuple):
    """Something as it was told before and is told after; what is in both is left out, but for hazards.

    ``playbook``, and ``kind`` with ``name``, are empty for what is of no playbook, or of all of it; ``field`` is that
    of a text. ``grave`` says that it can hurt: all but the texts of work without a hazard.
    """

    what: What
    before: Told
    after: Told
    playbook: str = ""
    kind: str = ""
    name: str = ""
    field: str = ""
    grave: bool = True


def changes(old: LibraryRead, new: LibraryRead, pairs: Sequence[tuple[str, str]]) -> list[Change]:
    """All that changed of it, playbook by playbook; then catalogue, settings and files."""
    found: list[Change] = []
    for was, slug in pairs:
        told = _playbook_changes(Side(old, old.playbooks[was]), Side(new, new.playbooks[slug]))
        found += (change._replace(playbook=slug) for change in told)
    found += _catalogue_changes(old.catalogue, new.catalogue)
    if old.library and new.library:
        found += _settings_changes(old.library.settings, new.library.settings)
    for name in sorted(old.files.keys() & new.files.keys()):
        if old.files[name] != new.files[name]:
            found.append(Change("file", (_size(old.files[name]),), (_size(new.files[name]),), name=name))
    return found


class Side(NamedTuple):
    """A playbook within its library."""

    library: LibraryRead
    playbook: Playbook

    def hazards(self, work: Work) -> Told:
        """The hazards of a piece of work, by name."""
        return tuple(sorted(self.library.catalogue.hazards_of(work)))

    def linked(self, work: Work, kind: str) -> Told:
        """The targets of a piece of work's links or pictures; those that are files with their sizes."""
        return tuple(self._told(link) for link in links_and_html(work.do or "")[0] if link.kind == kind)

    def _told(self, link: Link) -> str:
        file = self.library.files.get(link.path_from(self.playbook.area)) if link.is_relative else None
        return f"{link.target} ({_size(file)})" if file else link.target


def _size(file: Linked) -> str:
    return f"{file.size:,} bytes"


def _playbook_changes(old: Side, new: Side) -> Iterator[Change]:
    one, other = old.playbook, new.playbook
    yield from _items("no_hazards", _answers(one.no_hazards), _answers(other.no_hazards))
    yield from _items("preconditions", one.preconditions, other.preconditions)
    yield from _texts(_said_above(one), _said_above(other), grave=False)
    names, now = works(one, other), other.work()
    for was, work in one.work().items():
        kind = "step" if isinstance(work, Step) else "ending"
        found = list(_work_changes(old, work, new, now[names[was]]) if was in names else _gone(old, work))
        for change in sorted(found, key=lambda one: ORDER.index(one.what)):
            yield change._replace(kind=kind, name=names.get(was, was))


def _work_changes(old: Side, work: Step | Ending, new: Side, now: Step | Ending) -> Iterator[Change]:
    before, after = _warnings(old, work), _warnings(new, now)
    for what in before:
        yield from _items(what, before[what], after[what])
    carried, carries = old.hazards(work), new.hazards(now)
    if carried != carries:
        yield Change("hazards", carried, carries)
    yield from _items("no_hazards", _answers(work.no_hazards), _answers(now.no_hazards))
    yield from _items("who", (work.who,), (now.who,))
    yield from _items("pictures", old.linked(work, "image"), new.linked(now, "image"))
    yield from _items("links", old.linked(work, "link"), new.linked(now, "link"))
    yield from _texts(_said(work), _said(now), grave=bool(carried or carries))


def _gone(old: Side, work: Step | Ending) -> Iterator[Change]:
    """What a step or an ending that is gone said of danger; that its hazards are gone is a loss of its own."""
    for what, told in _warnings(old, work).items():
        yield from _items(what, told, ())
    if work.who == "shop":
        yield Change("who", ("shop",), ())


def _warnings(side: Side, work: Step | Ending) -> dict[What, Told]:
    """What a step or an ending says of danger beside its hazards, in words."""
    mishap = work.mishap
    money = f"{mishap.cost.low:g}-{mishap.cost.high:g}" if mishap else ""
    told: dict[What, Told] = {
        "preconditions": work.preconditions,
        "mishap": (f"{mishap.what}: chance {float(100 * mishap.chance):.4g} %, costs {money}",) if mishap else (),
        "after": tuple(f"{step}: {', '.join(results) or 'any result'}" for step, results in work.after.items()),
        "prove": (),
    }
    if isinstance(work, Ending) and work.prove:
        told["prove"] = (f"{work.prove.trial}: shows in {float(100 * work.prove.shows):.4g} % of the trials",)
    return told


def _catalogue_changes(old: Catalogue, new: Catalogue) -> Iterator[Change]:
    """Hazards and answers of entries that are in both, also where only the reason has other words."""
    for kind, called in (("tools", "tool"), ("parts", "part"), ("access", "access job"), ("checks", "check")):
        before, after = getattr(old, kind), getattr(new, kind)
        for name in (one for one in before if one in after):
            answers = _answers(before[name].no_hazards), _answers(after[name].no_hazards)
            for change in _items("no_hazards", *answers):
                yield change._replace(kind=called, name=name)
            if kind != "parts" and set(before[name].hazards) != set(after[name].hazards):
                hazards = tuple(sorted(before[name].hazards)), tuple(sorted(after[name].hazards))
                yield Change("hazards", *hazards, kind=called, name=name)


def _settings_changes(old: Settings, new: Settings) -> Iterator[Change]:
    """What the settings say of danger: the notice, what areas imply, and in which language words are looked for."""
    yield from _items("language", (old.language,), (new.language,))
    yield from _texts({"notice": old.notice or ""}, {"notice": new.notice or ""}, grave=True, what="notice")
    for name, area in old.areas.items():
        for change in _items("implies", area.implies, new.areas[name].implies if name in new.areas else ()):
            yield change._replace(kind="area", name=name)


def _items(what: What, before: Sequence[str], after: Sequence[str]) -> Iterator[Change]:
    """A change of a list: what only one of the two has, or both as they are where only the order changed."""
    one, other = ([str(plain("", item)) for item in items] for items in (before, after))
    if one != other:
        left, came = [item for item in one if item not in other], [item for item in other if item not in one]
        changed = bool(left or came)
        yield Change(what, tuple(left if changed else one), tuple(came if changed else other))


def _texts(old: Mapping[str, str], new: Mapping[str, str], *, grave: bool, what: What = "text") -> Iterator[Change]:
    """The changed sentences of texts by field."""
    for field in dict.fromkeys((*old, *new)):
        for before, after in changed_sentences(old.get(field, ""), new.get(field, "")):
            yield Change(what, (before,) if before else (), (after,) if after else (), field=field, grave=grave)


def _said(work: Step | Ending) -> dict[str, str]:
    """What a step or an ending says to its reader, by field."""
    said = {"title": work.title, "do": work.do or ""}
    if isinstance(work, Step):
        said |= {f"results.{name}.expect": result.expect for name, result in work.results.items()}
        said |= {"reading": f"{work.reading.of} ({work.reading.unit})"} if work.reading else {}
    return said


def _said_above(playbook: Playbook) -> dict[str, str]:
    """What a playbook says outside of its steps and endings, by field."""
    symptom = playbook.symptom
    said = {
        "title": playbook.title,
        "summary": symptom.summary,
        "conditions": "\n\n".join(symptom.conditions),
        "also": "\n\n".join(playbook.also),
    }
    causes = {f"causes.{name}": f"{cause.name}\n\n{cause.note or ''}" for name, cause in playbook.causes.items()}
    return said | causes


def _answers(answers: Mapping[str, str]) -> Told:
    return tuple(f"{hazard}: {reason}" for hazard, reason in answers.items())
