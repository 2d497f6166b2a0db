"""The trade's words of a language: what owners say, and what else means the same; a theme's ``trade/de.yaml``."""

from collections.abc import Collection, Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Annotated

import yaml
from babel import Locale
from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationError

from builder.publish.data.terms import words_of
from builder.publish.pages.theme import TRADE, ThemeError, theme_folder


def _words(value: object) -> object:
    return tuple(dict.fromkeys(words_of(value))) if isinstance(value, str) else value


def _phrases(value: object) -> object:
    """A line such as ``tyre, flat tyre``: each phrase as its words."""
    if not isinstance(value, str):
        return value
    return tuple(dict.fromkeys(phrase for part in value.split(",") if (phrase := " ".join(words_of(part)))))


Words = Annotated[tuple[str, ...], BeforeValidator(_words)]
Phrases = Annotated[tuple[str, ...], BeforeValidator(_phrases)]


class Reach(BaseModel):
    """How many words before and after it a negation turns into their opposite."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    before: int = 0
    after: int = 2


class Trade(BaseModel):
    """``same`` are phrases of one meaning, ``akin`` those of which one makes one think of another.

    ``joints`` are what may stand between the parts of a compound, in languages that have them.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    filler: Words = ()
    negations: Words = ()
    reach: Reach = Reach()
    suffixes: Words = ()
    joints: tuple[str, ...] = ()
    same: tuple[Phrases, ...] = ()
    akin: tuple[Phrases, ...] = ()

    def within(self, stems: Mapping[str, str], known: Collection[str]) -> "Trade":
        """What is of use where only some stems are known: meanings of which a phrase consists of known words.

        In a language of compounds, a word is known as well where it is a part of a known one.
        """
        whole = " ".join(known)

        def is_known(word: str) -> bool:
            stem = stems[word]
            return stem in known or word in self.negations or (bool(self.joints) and len(stem) > 3 and stem in whole)

        def useful(group: Phrases) -> bool:
            return any(all(map(is_known, phrase.split())) for phrase in group)

        same, akin = (tuple(group for group in groups if useful(group)) for groups in (self.same, self.akin))
        return self.model_copy(update={"same": same, "akin": akin})

    def texts(self) -> Iterator[str]:
        """Every phrase, for their words."""
        for group in (*self.same, *self.akin):
            yield from group


@lru_cache(maxsize=4)
def trade_of(language: str, own: Path | None = None) -> Trade:
    """The trade's words of a language (as in ``de-AT``); a theme of one's own adds to the built-in ones.

    Raises:
        ThemeError: a file does not have the form.
    """
    name = f"{Locale.parse(language.replace('-', '_')).language}.yaml"
    found = Trade()
    for folder in (theme_folder(), own):
        path = folder / TRADE / name if folder else None
        if path and path.is_file():
            found = _together(found, _read(path))
    return found


def _read(path: Path) -> Trade:
    try:
        return Trade.model_validate(yaml.safe_load(path.read_text(encoding="utf-8")))
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        raise ThemeError(f"{path}: {place}: {first['msg']}") from error
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        raise ThemeError(f"{path}: {error}") from error


def _together(one: Trade, more: Trade) -> Trade:
    parts = {name: getattr(one, name) + getattr(more, name) for name in Trade.model_fields if name != "reach"}
    reach = more.reach if "reach" in more.model_fields_set else one.reach
    return Trade(reach=reach, **parts)
