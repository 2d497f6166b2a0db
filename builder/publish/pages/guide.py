"""The guide "How playbooks are written": made from the schema, the rules and the worked example: it cannot go stale."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Final

import yaml
from markupsafe import Markup

from builder.draw.figures import Figures
from builder.format import worked
from builder.format.draft import Draft, draft_text, modeline
from builder.format.forms import Form
from builder.format.rules import GROUPS
from builder.format.rules.rule import Example
from builder.format.schema import FILES, schema_of
from builder.publish.pages.pages import Pages
from builder.read.folder import NAMED
from builder.read.hazards import BUILT_IN
from builder.read.limits import LIMITS
from builder.read.nodes import parse_nodes
from builder.read.prose import parser
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.read.source import UNWANTED, Source
from builder.reckon.totals import Totals, totals_of

WIDE: Final = 34
"""Longest line of a frame that needs no scrolling on a small phone, in characters."""

DRAFT: Final = Draft(worked.SLUG, worked.AREA, worked.TITLE)


@dataclass(frozen=True, slots=True)
class Field:
    """A key of a file; ``example`` is YAML."""

    name: str
    says: str
    example: str
    required: bool


@dataclass(frozen=True, slots=True)
class Group:
    """The keys of one record."""

    name: str
    title: str
    says: str
    fields: Sequence[Field]


@dataclass(frozen=True, slots=True)
class Notation:
    """A way of writing values, by the name of a definition in the schema; ``good`` and ``bad`` are YAML."""

    title: str
    says: str
    good: Sequence[str]
    bad: Sequence[str]


MONEY: Final = Notation(
    "Money",
    "A plain number in the library's currency, a range (the likely value is then the middle), or three values.",
    ("12", "12.50", "10-20", "{low: 10, likely: 12, high: 20}"),
    ("12 EUR", "1,50", "-5", "20-10"),
)
TIME: Final = Notation(
    "Time",
    "A number with its unit, a range, three values, or the notation of ISO 8601.",
    ("25 min", "1 h 30 min", "1.5 h", "10-20 min", "PT1H30M", "{low: 5 min, likely: 10 min, high: 20 min}", "0"),
    ("25", "90 m", "20-10 min", "1:30"),
)
SHARE: Final = Notation("Share", "A percentage.", ("70%", "12.5%"), ("0.7", "70", "120%"))
CHANCE: Final = Notation(
    "Chance",
    "One percentage whatever the cause, a percentage by cause with `otherwise` for those not named, or `rest` for what "
    "the other results leave. `unlisted` may be named like a cause.",
    ("40%", "{pump: 97%, otherwise: 10%}", "rest"),
    ("40", "most", "{pump: often}"),
)
NOTATIONS: Final = (MONEY, TIME, SHARE, CHANCE)


def guide_view(pages: Pages) -> dict[str, Any]:
    """What the template of the guide shows."""
    library = worked_library()
    site_url = pages.library.settings.site_url
    return {
        "groups": list(groups()),
        "notations": NOTATIONS,
        "rules": GROUPS,
        "limits": LIMITS,
        "command": f'droplight draft {DRAFT.slug} --area {DRAFT.area} --title "{DRAFT.title}"',
        "draft": draft_text(DRAFT, "multimeter", site_url),
        "modeline": modeline(site_url).strip(),
        "finished": worked.PLAYBOOK,
        "entries": worked.CATALOGUE,
        "others": worked.OTHERS,
        "totals": totals_of(worked.SLUG, library),
        "playbook": library.playbooks[worked.SLUG],
        "figures": Figures(pages.figures.locale, library.settings.currency),
        "inline": inline,
        "visible": visible,
        "where": partial(where, gettext=pages.gettext),
        "say": pages.gettext,
        "wide": lambda text: max(map(len, text.splitlines()), default=0) > WIDE,
        "way": way,
    }


def groups() -> Iterator[Group]:
    """The keys of every record, those of a playbook first."""
    playbook = schema_of("playbook")
    yield _group("playbook", playbook)
    parts = dict(playbook["$defs"])
    step, ending = parts.pop("Step"), parts.pop("Ending")
    prove = parts.pop("Prove")
    for name, part in parts.items():
        yield _group(name.lower(), part)
    both = [name for name, field in step["properties"].items() if ending["properties"].get(name) == field]
    says = "What a step and an ending have in common: something to do that costs money and time."
    yield _group("work", {**step, "title": "Step and ending", "description": says}, both)
    yield _group("step", step, [name for name in step["properties"] if name not in both])
    yield _group("ending", ending, [name for name in ending["properties"] if name not in both])
    yield _group("prove", prove)
    for name in FILES:
        if name != "playbook":
            whole = schema_of(name)
            yield _group(name, whole.get("additionalProperties") or whole)
            for inner, part in whole.get("$defs", {}).items():
                if inner not in playbook["$defs"]:
                    yield _group(inner.lower(), part)


def _group(name: str, schema: Form, names: Sequence[str] | None = None) -> Group:
    required = schema.get("required", ())
    fields = [
        Field(key, field["description"], example_of(key, field["examples"]), key in required)
        for key, field in schema["properties"].items()
        if names is None or key in names
    ]
    return Group(name, schema["title"], schema["description"], fields)


def example_of(name: str, examples: Sequence[Any]) -> str:
    """Each example of a key, as one would write it."""
    return "".join(
        yaml.safe_dump(
            {name: example},
            sort_keys=False,
            allow_unicode=True,
            width=10_000,
            default_flow_style=None if isinstance(example, dict | list) else False,
        ).replace("'on':", "on:")  # a word like any other, where nothing is guessed
        for example in examples
    )


def worked_library() -> Library:
    """The worked example as a library."""
    files = {name: _plain(text) for name, text in worked.LIBRARY.items()}
    kinds = {kind: files[f"catalogue/{kind}.yaml"] for kind in NAMED}
    catalogue = {**kinds, "hazards": {**BUILT_IN, **kinds["hazards"]}}
    playbook = {**files[worked.PATH], "slug": worked.SLUG, "area": worked.AREA}
    return Library(
        settings=Settings.model_validate(files["library.yaml"]),
        catalogue=Catalogue.model_validate(catalogue),
        playbooks={worked.SLUG: Playbook.model_validate(playbook)},
    )


def _plain(text: str) -> Any:
    node, _ = parse_nodes(Source("", text))
    return node.plain() if node else {}


def way(totals: Totals, playbook: Playbook) -> Iterator[tuple[str, str, Any]]:
    """Each path of a playbook: what is seen on it, where it ends, and its totals."""
    for path in totals.paths:
        seen = [
            playbook.steps[step].results[result].expect for step, result in zip(path.steps, path.results, strict=True)
        ]
        yield " → ".join(seen), playbook.endings[str(path.ending)].title, path


_MARKDOWN: Final = parser()


def inline(text: str) -> Markup:
    """A sentence with its code as code."""
    return Markup(_MARKDOWN.renderInline(text))  # noqa: S704 - raw HTML is off


def visible(text: str) -> str:
    """A text in which characters that do not show are named."""
    for pattern, *_ in UNWANTED:
        text = pattern.sub(lambda match: f"⟨U+{ord(match[0]):04X}⟩", text)
    return text


def where(example: Example, gettext: Callable[..., str]) -> str:
    """The file that an example changes, if it is not the worked playbook itself; what is odd about the file."""
    remarks: Mapping[str, bool] = {
        f"`{example.file}`": example.file not in ("", worked.PATH),
        gettext("which files there are"): not example.file,
        gettext("the last line %(times)s times", times=str(example.times)): example.times > 1 and not example.counts,
        gettext("the last line %(times)s times, n counts, m is one ahead", times=str(example.times)): example.counts,
        gettext("saved as %(encoding)s", encoding=example.encoding): example.encoding != "utf-8",
    }
    return ", ".join(remark for remark, holds in remarks.items() if holds)
