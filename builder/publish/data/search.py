"""The search index: what can be found, as texts in few bytes, and the words that owners use for it.

Which playbooks answer a query, and in which order, is decided in the browser (``theme/scripts/search/``).
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from builder.publish.build import Build
from builder.publish.data.model import data_file
from builder.publish.data.terms import stems_of, suffixes_of, words_of
from builder.publish.data.texts import Texts, coded
from builder.publish.data.trade import Trade, trade_of
from builder.publish.pages import address
from builder.publish.pages.codes import controls
from builder.publish.pages.index import Index
from builder.read.codes import CONTROLS, SUBSYSTEMS, SYSTEMS
from builder.read.records import Library, Playbook
from builder.reckon.graph import graph_of


def write_search(build: Build) -> None:
    """Write the search index of a library, as a script that a page can load from a folder."""
    trade = trade_of(build.library.settings.language, build.theme.own)
    data = search_data(build.library, build.index, trade, build.pages.gettext)
    build.write(address.SEARCH, data_file("search", "", data))


def search_data(library: Library, index: Index, trade: Trade, gettext: Callable[[str], str]) -> dict[str, Any]:
    """The index of a library, ready for JSON; texts are coded by ``words``.

    ``books`` are ``[slug, area, title, summary, also, signs, codes, causes, steps, parts, tools]``: ``area``,
    ``codes``, ``parts`` and ``tools`` are places in the lists of the same name, steps stand in the order of their page.
    """
    books = {slug: _texts(playbook) for slug, playbook in library.playbooks.items()}
    named = _named(library, index)
    said = [text for book in books.values() for texts in book.values() for text in texts]
    said += [text for entries in named.values() for _, text in entries]
    texts = Texts(said)
    data: dict[str, Any] = {"words": " ".join(texts.words), **_language(texts.words, trade, library.settings.language)}
    places = {kind: {name: place for place, (name, _) in enumerate(entries)} for kind, entries in named.items()}
    data["books"] = [
        _book(playbook, [texts.coded(*part) for part in books[slug].values()], places)
        for slug, playbook in library.playbooks.items()
    ]
    data |= {kind: [[name, texts.coded(text)] for name, text in entries] for kind, entries in named.items()}
    return {**data, "structure": structure(gettext)}


def _texts(playbook: Playbook) -> dict[str, list[str]]:
    """What can be found in a playbook and is written there, by field."""
    symptom = playbook.symptom
    steps = [node.name for node in graph_of(playbook).nodes if node.kind == "step"]
    return {
        "title": [playbook.title],
        "summary": [symptom.summary],
        "also": list(playbook.also),
        "signs": list(symptom.conditions),
        "causes": [cause.name for cause in playbook.causes.values()],
        "steps": [playbook.steps[name].title for name in steps],
    }


def _named(library: Library, index: Index) -> dict[str, list[tuple[str, str]]]:
    """What has a page of its own beside playbooks: name and text, by kind."""
    catalogue, playbooks = library.catalogue, library.playbooks
    means = catalogue.codes
    return {
        "areas": [(name, area.title) for name, area in library.settings.areas.items()],
        "codes": [(code, means[code].means if code in means else "") for code in index.codes],
        "means": [(code, meaning.means) for code, meaning in means.items() if code not in index.codes],
        "causes": [
            (cause, playbooks[slugs[0]].causes[cause].name) for cause, slugs in index.causes.items() if len(slugs) > 1
        ],
        "parts": [(name, part.name) for name, part in catalogue.parts.items()],
        "tools": [(name, tool.name) for name, tool in catalogue.tools.items()],
    }


def _book(playbook: Playbook, texts: list[str], places: dict[str, dict[str, int]]) -> list[Any]:
    title, summary, also, signs, causes, steps = texts
    work = list(playbook.work().values())
    codes = coded(places["codes"][code] for code in dict.fromkeys(playbook.symptom.codes))
    parts = coded(places["parts"][name] for name in dict.fromkeys(part for one in work for part in one.parts))
    tools = coded(places["tools"][name] for name in dict.fromkeys(tool for one in work for tool in one.tools))
    area = places["areas"][playbook.area]
    return [playbook.slug, area, title, summary, also, signs, codes, causes, steps, parts, tools]


def _language(words: Sequence[str], trade: Trade, language: str) -> dict[str, Any]:
    """What the browser must know of the language: stems, suffixes, filler, negations and the trade's words.

    ``cuts`` says of each written word how many letters its stem is shorter; ``stems`` are pairs of the words of which
    more than that is to be said.
    """
    stems = stems_of(words, language)
    all_stems = {**stems_of(trade.texts(), language), **stems}
    useful = trade.within(all_stems, frozenset(stems.values()))
    cuts = [_cut(written, stems) for written in words]
    said = {word for written, cut in zip(words, cuts, strict=True) if cut for word in words_of(written)}
    needed = {
        word: all_stems[word] for text in (*words, *useful.texts()) for word in words_of(text) if word not in said
    }
    return {
        "cuts": "".join(map(str, cuts)),
        "stems": " ".join(f"{word} {stem}" for word, stem in sorted(needed.items()) if word != stem),
        "suffixes": sorted({*suffixes_of(all_stems), *trade.suffixes}),
        "joints": list(trade.joints),
        "filler": " ".join(trade.filler),
        "negations": " ".join(trade.negations),
        "reach": [trade.reach.before, trade.reach.after],
        "same": [",".join(group) for group in useful.same],
        "akin": [",".join(group) for group in useful.akin],
    }


def _cut(written: str, stems: Mapping[str, str]) -> int:
    """How many letters the stem of a written word is shorter; 0 too where that is not all there is to say."""
    match words_of(written):
        case [word] if word.startswith(stems[word]):
            return min(len(word) - len(stems[word]), 9) % 9
    return 0


def structure(gettext: Callable[[str], str]) -> dict[str, dict[str, str]]:
    """What the structure of any trouble code says: by its letter, its first two and its first three characters."""
    return {
        "systems": {letter: gettext(system) for letter, system in SYSTEMS.items()},
        "controls": dict(CONTROLS),
        "says": controls(gettext),
        "subsystems": {head: gettext(subsystem) for head, subsystem in SUBSYSTEMS.items()},
    }
