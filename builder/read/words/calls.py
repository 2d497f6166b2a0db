"""Calls: the places of a text that call for a hazard, by the words of some languages and of a library's own hazards."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from builder.read.words.language import Inflection, Language, languages, read_language, spellings
from builder.read.words.lexicon import UNKNOWN, Lexicon
from builder.read.words.phrases import pattern_of, terms
from builder.read.words.pieces import CLAUSE, SENTENCE, Piece, pieces

ALWAYS_READ: Final = "en"

Own = tuple[tuple[str, tuple[str, ...]], ...]
"""Hazards of a library with their words."""


@dataclass(frozen=True, order=True, slots=True)
class Call:
    """Some words of a text that call for a hazard; ``start`` and ``end`` are offsets."""

    start: int
    end: int
    hazard: str
    words: str


class Finder:
    """Finds the phrases of one lexicon."""

    def __init__(self, lexicon: Lexicon, hazards: Mapping[str, re.Pattern[str]], never: re.Pattern[str] | None) -> None:
        self._lexicon, self._hazards, self._never = lexicon, hazards, never

    def calls(self, read: list[Piece], text: str) -> Iterator[Call]:
        signs, places = self._lexicon.encoded(read)
        if self._never:
            signs = _without(signs, self._never)
        for hazard, pattern in self._hazards.items():
            for match in pattern.finditer(signs):
                start, end = places[match.start()][0], places[match.end() - 1][1]
                yield Call(start, end, hazard, " ".join(text[start:end].split()))


def _without(signs: str, never: re.Pattern[str]) -> str:
    """The signs without those that phrases of ``never`` take, or the groups in them."""
    kept = list(signs)
    for match in never.finditer(signs):
        groups = [match.span(group) for group in range(1, never.groups + 1) if match[group]] or [match.span()]
        for start, end in groups:
            kept[start:end] = UNKNOWN * (end - start)
    return "".join(kept)


@dataclass(frozen=True, slots=True)
class Caller:
    finders: tuple[Finder, ...]

    def calls(self, text: str) -> list[Call]:
        """Every place of a text that calls for a hazard, in order; of calls for one hazard that overlap, the first."""
        read = pieces(text)
        found = sorted(call for finder in self.finders for call in finder.calls(read, text))
        ends: dict[str, int] = {}
        kept: list[Call] = []
        for call in found:
            if call.start >= ends.get(call.hazard, 0):
                kept.append(call)
                ends[call.hazard] = call.end
        return kept


@lru_cache(maxsize=16)
def caller(language: str, own: Own = ()) -> Caller:
    """Looks with the built-in words of a language and of English, and with a library's own."""
    name = language.partition("-")[0].lower()
    read = sorted({name, ALWAYS_READ} & languages())
    inflections = [read_language(each).own for each in read]
    return Caller((*(_built_in(each, tuple(read)) for each in read), *_own(own, inflections)))


def has_words(language: str) -> bool:
    """Whether there are built-in words for a language, such as ``de`` or ``de-AT``."""
    return language.partition("-")[0].lower() in languages()


@lru_cache(maxsize=16)
def _built_in(name: str, read: tuple[str, ...]) -> Finder:
    """The finder of a language, in a library that is read with the words of several."""
    language = read_language(name)
    listed = (*language.hazards.values(), *language.parts.values(), language.never)
    named = {term for phrases in listed for phrase in phrases for term in terms(phrase) if not term.isupper()}
    small = {name: language.words(words) for name, words in language.small.items()}
    classes = {name: language.words(words) for name, words in language.classes.items()}
    literal = {word: language.words(word) for word in named}
    ordinary = {word for each in read for word in read_language(each).words(read_language(each).ordinary)}
    return _finder(Lexicon(classes, {**small, **literal}, ordinary, joined=language.joined), language)


def _finder(lexicon: Lexicon, language: Language) -> Finder:
    def pattern(phrases: tuple[str, ...]) -> re.Pattern[str] | None:
        bodies = [pattern_of(phrase, lexicon.signs, language.parts) for phrase in phrases]
        return re.compile("|".join(bodies)) if bodies else None

    hazards = {name: found for name, phrases in language.hazards.items() if (found := pattern(phrases))}
    return Finder(lexicon, hazards, pattern(language.never))


def _own(own: Own, inflections: list[Inflection]) -> Iterator[Finder]:
    """A finder of the words of a library's own hazards, each word in all forms that the languages may give it."""
    classes: dict[str, set[str]] = {}

    def row(words: str) -> str:
        """A phrase with a class for each of its words."""
        names: list[str] = []
        for word, _, _ in pieces(words):
            if word not in (CLAUSE, SENTENCE):
                names.append(f"W{len(classes)}")
                bases = spellings(word)
                classes[names[-1]] = {
                    form for rule in inflections for base in bases for form in rule.forms(base)
                } | bases
        return " ".join(names)

    hazards = {hazard: tuple(filter(None, map(row, words))) for hazard, words in own}
    if classes:
        ordinary = {word for name in languages() for word in read_language(name).words(read_language(name).ordinary)}
        yield _finder(Lexicon(classes, {}, ordinary), Language(hazards=hazards))
