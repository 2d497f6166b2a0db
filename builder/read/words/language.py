"""A language's hazard words as data: one file ``LANGUAGE.yaml`` beside this one.

``endings``  sets of endings by name; ``lift/v`` in a list stands for ``lift`` with each ending of the set ``v``, and
             ``(an|hoch)(heben|zuheben)`` for every way through the brackets.
``small``    classes of small or common words: they are not looked for in disguise.
``classes``  classes of words by a name in capitals. A ``*`` at either end of a word stands for the rest of a compound.
``ordinary`` words that are one slip away from a word of the classes and mean something else.
``joined``   whether words that are written without the spaces between them are looked for; not where a language
             makes words of words in earnest.
``parts``    pieces of phrases by name, for use as ``$NAME``.
``never``    phrases that call for nothing: their words count as unknown, or only the terms with a ``=`` before them.
``hazards``  by hazard: phrases that call for it.
``signals``  signal words in capitals, as the theme says them and as others might: a text must not begin with one.
``own``      how the words of a library's own hazards change their form: ``drop`` endings, ``add`` others, or ``double``
             the last letter before an ending.

A phrase is a row of terms: a CLASS, a word, or several with ``|`` between, followed by ``?`` (or none), ``*`` (up to
four, or none) or ``+`` (up to four). ``..5`` are up to five words of the same clause, ``...5`` of the same sentence,
``..5-CLASS`` none of them of the class. ``,?`` is a comma or none. Without taking a word up, ``&TERM`` says that one of
it, or the end of the clause, comes next, ``!TERM`` that none does, ``<TERM`` that one of it stands before, ``<!TERM``
that none does.
"""

import re
from functools import lru_cache
from importlib.resources import files
from itertools import product
from typing import Any, Final

import yaml
from pydantic import BaseModel, ConfigDict

from builder.read.words.letters import folded

_HERE: Final = files(__package__)
_LOADER: Final[Any] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_GROUP: Final = re.compile(r"\(([^()]+)\)|([^()|]+)")
# German letters and how they are written where a keyboard has none.
_UMLAUTS: Final = (("ä", "ae"), ("ö", "oe"), ("ü", "ue"))


class Inflection(BaseModel):
    """How a library's own words change their form."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    drop: tuple[str, ...] = ()
    add: tuple[str, ...] = ()
    double: tuple[str, ...] = ()

    def forms(self, word: str) -> set[str]:
        """The word in all forms that the rule gives, more than there are; short words and figures as they are."""
        if len(word) < 3 or not word.isalpha():
            return {word}
        stems = {word, *(word.removesuffix(ending) for ending in self.drop if len(word) - len(ending) > 2)}
        doubled = {word + word[-1] + ending for ending in self.double}
        return stems | doubled | {stem + ending for stem, ending in product(stems, self.add)}


class Language(BaseModel):
    """What a file says; words are still in its notation."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    endings: dict[str, str] = {}
    small: dict[str, str] = {}
    classes: dict[str, str] = {}
    ordinary: str = ""
    joined: bool = False
    parts: dict[str, tuple[str, ...]] = {}
    never: tuple[str, ...] = ()
    hazards: dict[str, tuple[str, ...]] = {}
    signals: str = ""
    own: Inflection = Inflection()

    def words(self, listed: str) -> set[str]:
        """The words of a list in all their forms, in plain small letters; stars of compounds stay."""
        return {form for entry in listed.split() for form in self._forms(entry)}

    def _forms(self, entry: str) -> set[str]:
        groups = [(group or plain).split("|") for group, plain in _GROUP.findall(entry)]
        ways = [[form for way in group for form in self._inflected(way)] for group in groups]
        return {spelled for row in product(*ways) for spelled in spellings("".join(row))}

    def _inflected(self, stem: str) -> list[str]:
        stem, slash, name = stem.partition("/")
        star = "*" if name.endswith("*") else ""
        endings = self.endings[name.removesuffix("*")].split() if slash else ["-"]
        return [stem + ending.removeprefix("-") + star for ending in endings]


def spellings(word: str) -> set[str]:
    """A word in plain small letters, with umlauts as one letter and as two."""
    spelled = word.casefold()
    for letter, two in _UMLAUTS:
        spelled = spelled.replace(letter, two)
    return {folded(word), folded(spelled)}


@lru_cache(maxsize=1)
def languages() -> frozenset[str]:
    """The languages that have a file."""
    return frozenset(file.name.removesuffix(".yaml") for file in _HERE.iterdir() if file.name.endswith(".yaml"))


@lru_cache(maxsize=16)
def read_language(name: str) -> Language:
    """The words of a language.

    Raises:
        FileNotFoundError: it has no file.
    """
    text = (_HERE / f"{name}.yaml").read_text(encoding="utf-8")
    return Language.model_validate(yaml.load(text, Loader=_LOADER))  # noqa: S506 - every scalar stays text
