"""Calls: the places of a text that call for a hazard, by the words of some languages and of a library's own hazards."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from builder.read.words.language import Inflection, languages, read_language, spellings
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


Patterns = Mapping[str, re.Pattern[str]]
"""A pattern over signs by hazard."""


@dataclass(frozen=True, slots=True)
class Finder:
    """Finds the phrases of one lexicon. What ``never`` takes counts for the built-in phrases, not for a library's own.

    ``begin`` are the signs with which the own phrases of a hazard begin.
    """

    lexicon: Lexicon
    hazards: Patterns
    never: re.Pattern[str] | None
    own: Patterns
    begin: Mapping[str, frozenset[str]]

    def calls(self, read: list[Piece], text: str) -> Iterator[Call]:
        """The places of a text, read into pieces, that call for a hazard; they may overlap."""
        signs, places = self.lexicon.encoded(read)
        met = set(signs)
        own = ((hazard, pattern, signs) for hazard, pattern in self.own.items() if self.begin[hazard] & met)
        left = _without(signs, self.never) if self.never else signs
        built_in = ((hazard, pattern, left) for hazard, pattern in self.hazards.items())
        for hazard, pattern, row in (*own, *built_in):
            for match in pattern.finditer(row):
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
    """Looks for the words of several languages and of a library's own hazards."""

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
    read = tuple(sorted({name, ALWAYS_READ} & languages(), key=lambda each: each != name))
    return Caller((_finder(read[0], read, own), *(_finder(each, read) for each in read[1:])))


def has_words(language: str) -> bool:
    """Whether there are built-in words for a language, such as ``de`` or ``de-AT``."""
    return language.partition("-")[0].lower() in languages()


@lru_cache(maxsize=16)
def _finder(name: str, read: tuple[str, ...], own: Own = ()) -> Finder:
    """The finder of a language, in a library that is read with the words of several and has words of its own."""
    language = read_language(name)
    listed = (*language.hazards.values(), *language.parts.values(), language.never)
    named = {term for phrases in listed for phrase in phrases for term in terms(phrase) if not term.isupper()}
    own_classes, own_phrases = _own(own, [read_language(each).own for each in read])
    small = {name: language.words(words) for name, words in language.small.items()}
    classes = {name: language.words(words) for name, words in language.classes.items()}
    literal = {word: language.words(word) for word in sorted(named)}
    ordinary = {word for each in read for word in read_language(each).words(read_language(each).ordinary)}
    lexicon = Lexicon({**classes, **own_classes}, {**small, **literal}, ordinary, joined=language.joined)

    def pattern(phrases: tuple[str, ...]) -> re.Pattern[str]:
        return re.compile("|".join(pattern_of(phrase, lexicon.signs, language.parts) for phrase in phrases))

    begin = {
        hazard: frozenset("".join(lexicon.signs(phrase.split()[0]) for phrase in phrases))
        for hazard, phrases in own_phrases.items()
    }
    return Finder(
        lexicon,
        {hazard: pattern(phrases) for hazard, phrases in language.hazards.items()},
        pattern(language.never) if language.never else None,
        {hazard: pattern(phrases) for hazard, phrases in own_phrases.items()},
        begin,
    )


def _own(own: Own, inflections: list[Inflection]) -> tuple[dict[str, set[str]], dict[str, tuple[str, ...]]]:
    """Classes and phrases of a library's own words, each word in all forms that the languages may give it."""
    classes: dict[str, set[str]] = {}

    def phrase(words: str) -> str:
        """A phrase with a class for each of its words."""
        names: list[str] = []
        for word, _, _ in pieces(words):
            if word not in (CLAUSE, SENTENCE):
                names.append(f"W{len(classes)}")
                bases = spellings(word)
                forms = {form for rule in inflections for base in bases for form in rule.forms(base)}
                classes[names[-1]] = forms | bases
        return " ".join(names)

    rows = {hazard: tuple(filter(None, map(phrase, words))) for hazard, words in own}
    return classes, {hazard: phrases for hazard, phrases in rows.items() if phrases}
