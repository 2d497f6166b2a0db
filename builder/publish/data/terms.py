"""Terms: the words of a text as the search compares them, and their stems.

A browser takes the words out of texts and queries by the same rules (``theme/scripts/search/terms.js``); only stems,
which need a stemmer, are made here.
"""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, Final

import snowballstemmer
from babel import Locale

APOSTROPHES: Final = re.compile("['’ʼ‘`´]")
WORD: Final = re.compile(r"\d+|[^\W\d_]+")
LONGEST_SUFFIX: Final = 5
SEEN: Final = 3
"""A suffix counts if the stemmer cut it off so many words."""


def words_of(text: str) -> list[str]:
    """The words of a text, letters and digits apart: small, without accents and apostrophes."""
    return WORD.findall(folded(text))


def folded(text: str) -> str:
    """A text in small letters, without accents and apostrophes, as terms are compared."""
    plain = unicodedata.normalize("NFD", APOSTROPHES.sub("", text.lower()))
    return "".join(letter for letter in plain if not unicodedata.category(letter).startswith("M")).replace("ß", "ss")


@lru_cache(maxsize=4)
def _stemmer(language: str) -> Any:
    """The Snowball stemmer of a language such as ``de-AT``; ``None`` where there is none."""
    name = Locale.parse(language.replace("-", "_")).language
    english = (Locale(name).get_language_name("en") or "").lower()
    known = snowballstemmer.algorithms()
    return snowballstemmer.stemmer(english) if english in known else None


def stems_of(texts: Iterable[str], language: str) -> dict[str, str]:
    """The stem of every word of some texts (Snowball; Porter 2001), by the word; both as :func:`words_of` gives them.

    Words are stemmed with their accents, which stemmers of some languages need.
    """
    stemmer = _stemmer(language)
    stems: dict[str, str] = {}
    for text in texts:
        for written in WORD.findall(unicodedata.normalize("NFC", APOSTROPHES.sub("", text.lower()))):
            word = folded(written)
            if word not in stems:
                stems[word] = folded(stemmer.stemWord(written)) if stemmer else word
    return stems


def suffixes_of(stems: Mapping[str, str]) -> list[str]:
    """What the stemmer cut off the ends of several words: a browser takes it off the words that it does not know."""
    cut = Counter(word[len(stem) :] for word, stem in stems.items() if word.startswith(stem) and word != stem)
    return sorted(suffix for suffix, count in cut.items() if count >= SEEN and len(suffix) <= LONGEST_SUFFIX)
