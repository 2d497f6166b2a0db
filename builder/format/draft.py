"""A draft: a playbook to fill in that has no errors, and the files that a new library begins with.

Its texts are warnings until they are filled in (:data:`builder.read.checks.plausible.DRAFT_TEXTS`).
"""

import json
import re
import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final

from builder.read.findings import near_miss
from builder.read.folder import CATALOGUE, SETTINGS
from builder.read.nodes import parse_nodes
from builder.read.notation import IDENTIFIER
from builder.read.records import Library
from builder.read.source import UNWANTED, Source


class DraftError(ValueError):
    """What was asked for cannot be drafted; the message says why and what to write instead."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What to draft."""

    slug: str
    area: str
    title: str

    @property
    def path(self) -> str:
        """Where the playbook will be in the library, with ``/``."""
        return f"{self.area}/{self.slug}.yaml"


def drafted(draft: Draft, library: Library | None, taken: Mapping[str, str]) -> dict[str, str]:
    """The files to write, by path in the library, in the order in which to write them.

    ``library`` is the one to add to, ``None`` begins a new one; ``taken`` says of each slug in use what uses it.

    Raises:
        DraftError: the slug, the area or the title will not do.
    """
    _judge_slug(draft.slug, taken)
    _judge_area(draft.area, library.settings.areas if library else None)
    _judge_title(draft.title)
    if library is None:
        return {**new_catalogue(), draft.path: draft_text(draft, "torch", None), SETTINGS: new_settings(draft.area)}
    usual = [name for name, tool in library.catalogue.tools.items() if tool.usual]
    return {draft.path: draft_text(draft, next(iter(usual), None), library.settings.site_url)}


def words_of(slug: str) -> str:
    """A slug as people would write it: ``slow-warm-up`` is ``Slow warm up``."""
    words = " ".join(slug.replace("-", " ").split())
    return words[:1].upper() + words[1:]


def slug_of(words: str) -> str:
    """The nearest slug to some words; empty where nothing is left of them."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub("[^a-z0-9]+", "-", plain.removesuffix(".yaml")).strip("-")


def _hint(words: str) -> str:
    near = slug_of(words)
    return f"did you mean `{near}`?" if near else "use small letters a-z, digits and hyphens only"


def _judge_slug(slug: str, taken: Mapping[str, str]) -> None:
    if not IDENTIFIER.match(slug):
        raise DraftError(f"`{slug}` is not a slug; {_hint(slug)}")
    if slug in taken:
        raise DraftError(f"the slug `{slug}` is in use: {taken[slug]}; choose another")


def _judge_area(area: str, areas: Collection[str] | None) -> None:
    if areas is not None and area not in areas:
        hint = near_miss(area, areas) or f"add it to `areas` in {SETTINGS} first"
        raise DraftError(f"the library has no area `{area}`; {hint}")
    if not IDENTIFIER.match(area):
        raise DraftError(f"`{area}` is not the name of an area; {_hint(area)}")
    if area == CATALOGUE:
        raise DraftError(f"`{CATALOGUE}` cannot be an area; the catalogue lives there")


def _judge_title(title: str) -> None:
    if not title.strip():
        raise DraftError("the title is empty; say the symptom in a few words")
    if not title.isprintable() or any(pattern.search(title) for pattern, *_ in UNWANTED):
        raise DraftError("the title holds characters that do not show; write it on one line")


def scalar(text: str) -> str:
    """A text as YAML, in quotes only where it would be read as something else."""
    node, findings = parse_nodes(Source("", f"- {text}"))
    if not findings and node and [item.plain() for item in node.items] == [text]:
        return text
    return json.dumps(text, ensure_ascii=False)


def modeline(site_url: str | None) -> str:
    """The line that tells an editor where the schema is; empty where the site has no address."""
    return f"# yaml-language-server: $schema={site_url.rstrip('/')}/schema/playbook.json\n" if site_url else ""


def draft_text(draft: Draft, tool: str | None, site_url: str | None) -> str:
    """A playbook with every field that one needs; ``tool`` is one of the catalogue to begin with."""
    tools = f"    tools: [{tool}]\n" if tool else ""
    return modeline(site_url) + _PLAYBOOK.format(title=scalar(draft.title.strip()), tools=tools)


_PLAYBOOK: Final = """\
format: 1
title: {title}
# How else owners say it; the search finds the playbook by these words too.
also: [How else owners say it]
symptom:
  summary: What the owner notices, in one sentence.
causes:
  first-cause: {{name: The likeliest cause, share: 60%}}
  second-cause: {{name: The next likeliest cause, share: 30%}}
  # What is left of 100 % is a cause that this playbook does not name.
start: first-step
steps:
  first-step:
    title: Begin with what is quick and costs nothing
    do: How to do it, and what is good and what is bad.
    time: 5-10 min
{tools}    results:
      bad:
        expect: What one sees when it is the likeliest cause
        chance: {{first-cause: 90%, otherwise: 5%}}
        next: first-repair
      good:
        expect: What one sees when it is not
        chance: rest
        next: second-step
  second-step:
    title: Tell the next likeliest cause apart
    # What must have been done before, so that no order of the steps leaves it out.
    after: [first-step]
    do: How to do it, and what is good and what is bad.
    time: {{low: 10 min, likely: 15 min, high: 30 min}}
    results:
      bad:
        expect: What one sees when it is the next likeliest cause
        chance: {{second-cause: 90%, otherwise: 5%}}
        next: second-repair
      good:
        expect: What one sees when it is not
        chance: rest
        next: hand-over
endings:
  first-repair:
    title: Put the likeliest cause right
    do: How to do it.
    settles: [first-cause]
    time: 20-40 min
    cost: 10-20
    # For a fault that comes and goes: one trial, and in how many of a hundred it shows while it is there.
    prove: {{trial: "What one trial is, such as a cold start", shows: 60%}}
  second-repair:
    title: Put the next likeliest cause right
    do: How to do it.
    settles: [second-cause]
    time: 1 h
    cost: 40
  hand-over:
    title: Hand over to a professional
    do: What the workshop will look for, and what it needs to know.
    who: shop
    time: 1 h
"""


def new_settings(area: str) -> str:
    """The settings of a new library that has one area."""
    return _SETTINGS.format(area=area, name=scalar(words_of(area) or area))


_SETTINGS: Final = """\
title: Our playbooks
language: en
currency: EUR
# What a workshop charges for an hour, and what an hour of the owner's own time is worth to them.
labour_rate: 90
owner_hour: 15
# The areas in the order of the home page: name of the folder, and what people read.
areas:
  {area}: {name}
notice: The figures here are estimates. The workshop manual of your car comes first.
"""


def new_catalogue() -> dict[str, str]:
    """The files of a catalogue that holds next to nothing, by path in the library."""
    return {f"{CATALOGUE}/{name}.yaml": text for name, text in _NEW_CATALOGUE.items()}


_NEW_CATALOGUE: Final = {
    "tools": "torch: {name: Torch, price: 10-20, usual: true}\n",
    "parts": "# fan-resistor: {name: Cabin fan resistor, price: 18-45}\n{}\n",
    "access": "# glovebox: {name: Glovebox out, open: 5 min, close: 5-10 min}\n{}\n",
    "hazards": "# hot-parts: {name: Hot parts, signal: caution, harm: Burns., avoid: Let it cool.}\n{}\n",
}
