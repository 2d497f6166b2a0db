"""A language's words around figures as data: one file ``LANGUAGE.yaml`` beside this one, with all of these lists.

``to``                 between the ends of a range
``and``                the same, where a word of ``between`` stands before the first
``or``                 between a figure and the same one in other units
``size``               before the size of a tool or a fastener
``trade``              tools and fasteners, after their size
``no_amount``          after a figure that is no amount of anything: the size of an engine, the force of a spring
``reading``            before a temperature that a thermometer shows
``about``              between such a word and the figure
``difference_before``  before a difference of temperatures; a word of ``to`` behind it makes it a reading again
``difference_after``   after such a difference

A ``*`` at either end of a word stands for the rest of it, ``_`` for any one word. Case does not matter.
"""

import re
from collections.abc import Iterable
from functools import lru_cache
from importlib.resources import files
from typing import Any, Final

import yaml
from pydantic import BaseModel, ConfigDict, Field

_HERE: Final = files(__package__)
_LOADER: Final[Any] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

ALWAYS_READ: Final = "en"


class Language(BaseModel):
    """What a file says, or the files of several languages together."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    to: tuple[str, ...]
    both: tuple[str, ...] = Field(alias="and")
    between: tuple[str, ...]
    or_: tuple[str, ...] = Field(alias="or")
    size: tuple[str, ...]
    trade: tuple[str, ...]
    no_amount: tuple[str, ...]
    reading: tuple[str, ...]
    about: tuple[str, ...]
    difference_before: tuple[str, ...]
    difference_after: tuple[str, ...]


def languages() -> frozenset[str]:
    """The languages that have a file, such as ``de``."""
    names = (entry.name.partition(".") for entry in _HERE.iterdir())
    return frozenset(stem for stem, _, suffix in names if suffix == "yaml")


@lru_cache(maxsize=16)
def words_of(locale: str) -> Language:
    """The words of a locale's language (``de_AT`` speaks ``de``) and English together; English alone if it has none."""
    spoken = {re.split("[-_]", locale)[0].lower(), ALWAYS_READ} & languages()
    listed = [read_language(name).model_dump(by_alias=True) for name in sorted(spoken)]
    return Language.model_validate({key: sum((one[key] for one in listed), ()) for key in listed[0]})


def read_language(name: str) -> Language:
    """What the file of a language says."""
    text = (_HERE / f"{name}.yaml").read_text(encoding="utf-8")
    return Language.model_validate(yaml.load(text, Loader=_LOADER))  # noqa: S506 - every scalar stays text


def choice(words: Iterable[str]) -> str:
    """A pattern of any of the words, as whole words, the longest first; to be read without regard to case."""
    return "(?:" + "|".join(_pattern(word) for word in sorted(set(words), key=lambda word: (-len(word), word))) + ")"


def _pattern(words: str) -> str:
    parts = [r"\w+" if one == "_" else re.escape(one.strip("*")) + r"\w*" * one.endswith("*") for one in words.split()]
    start = "" if words.startswith("*") else r"(?<!\w)"
    return start + r"\s".join(parts) + r"(?!\w)"
