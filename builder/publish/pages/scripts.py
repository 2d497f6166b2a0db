"""The browser scripts of the site: modules of the theme, joined into the plain scripts that pages load.

Pages in a folder cannot load modules, and a page should load few files. So a file that stands in ``scripts/`` itself is
a script of the site by its name, with every module that it needs, in the order in which they need each other; files in
folders of ``scripts/`` are modules only. ``page.js`` is on every page, so the other scripts leave out what it holds. A
module runs once, whichever scripts bring it; its exports stand in ``droplight``, the only global, by its name.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Final

from builder.publish.pages.modules import GLOBAL, HEAD, Module, ModuleError, module_of
from builder.publish.pages.theme import BUILT_IN, SCRIPTS, Theme, ThemeError, theme_folder

BASE: Final = "page.js"


@dataclass(frozen=True, slots=True)
class _Source:
    """A module and where it was read, as messages say it."""

    module: Module
    place: str


def scripts_of(theme: Theme = BUILT_IN, made: Mapping[str, str] | None = None) -> dict[str, bytes]:
    """Every script of the site by its name; ``made`` are modules that the build writes, by their path.

    Raises:
        ThemeError: a module is no JavaScript, or they do not fit together.
    """
    sources = _read(theme, made or {})
    _refuse_twins(sources)
    _refuse_wrong_imports(sources)
    order = _in_order(sources)
    needs = {path: _needs(sources, path) for path in sorted(sources) if "/" not in path}
    base = needs.get(BASE, frozenset())
    own = {script: needed if script == BASE else needed - base for script, needed in needs.items()}
    return {script: _joined(sources[path].module for path in order if path in own[script]) for script in own}


def _joined(modules: Iterable[Module]) -> bytes:
    return "".join([HEAD, *map(_wrapped, modules)]).encode()


def _wrapped(module: Module) -> str:
    return f"{GLOBAL}.{module.name}??=(()=>{{{module.body}\nreturn{module.returns}}})();\n"


def _read(theme: Theme, made: Mapping[str, str]) -> dict[str, _Source]:
    """All modules by their path from the folder of scripts, hidden files apart; one's own go before built-in ones."""
    texts = {path: (f"{SCRIPTS}/{path}", text.encode()) for path, text in made.items()}
    for folder in [one / SCRIPTS for one in (theme_folder(), theme.own) if one]:
        for file in sorted(folder.rglob("[!.]*.js")):
            texts[file.relative_to(folder).as_posix()] = (str(file), file.read_bytes())
    sources = {}
    for path, (place, text) in texts.items():
        try:
            sources[path] = _Source(module_of(path, text), place)
        except ModuleError as error:
            raise ThemeError(f"{place}:{error}") from error
    return sources


def _refuse_twins(sources: Mapping[str, _Source]) -> None:
    """Two modules of one name would take each other's place."""
    known: dict[str, _Source] = {}
    for source in sources.values():
        if twin := known.get(source.module.name):
            raise ThemeError(f"{source.place}:1:1: another module has this name: {twin.place}")
        known[source.module.name] = source


def _refuse_wrong_imports(sources: Mapping[str, _Source]) -> None:
    for source in sources.values():
        for needed in source.module.imports:
            target = sources.get(needed.path)
            if target is None:
                raise ThemeError(f"{source.place}:{needed.place}: there is no module `{needed.path}`")
            if missing := [name for name in needed.names if name not in target.module.exports]:
                raise ThemeError(f"{source.place}:{needed.place}: `{needed.path}` does not export `{missing[0]}`")


def _in_order(sources: Mapping[str, _Source]) -> list[str]:
    """All modules, each after those that it needs."""
    graph = {path: [needed.path for needed in sources[path].module.imports] for path in sorted(sources)}
    try:
        return list(TopologicalSorter(graph).static_order())
    except CycleError as error:
        first, *_ = circle = error.args[1][::-1]
        raise ThemeError(f"{sources[first].place}:1:1: modules need each other: {' → '.join(circle)}") from error


def _needs(sources: Mapping[str, _Source], path: str) -> frozenset[str]:
    """A module with all that it needs."""
    found: set[str] = set()
    ahead = [path]
    while ahead:
        path = ahead.pop()
        if path not in found:
            found.add(path)
            ahead += [needed.path for needed in sources[path].module.imports]
    return frozenset(found)
