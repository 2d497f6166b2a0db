"""Markdown: links that lead somewhere safe, and no raw HTML."""

from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Final

from builder.read import limits
from builder.read.checks.references import work_at
from builder.read.findings import Finding
from builder.read.nodes import Location, Node
from builder.read.own import NotOwnError, own_file
from builder.read.prose import FILE_TYPES, SCHEMES, Link, links_and_html
from builder.read.reading import Reading


def _markdown(reading: Reading) -> Iterator[tuple[Node, str]]:
    for location, work in work_at(reading):
        if work.do:
            yield reading.node.at((*location, "do")), work.do


def bad_link(reading: Reading) -> Iterator[Finding]:
    """A link leads to a place that is safe and there."""
    for node, text in _markdown(reading):
        for link in links_and_html(text)[0]:
            problem = _problem(reading, link)
            if problem:
                yield reading.source.finding(
                    *reading.source.near(node.start, node.end, link.target), "bad-link", *problem
                )


def _problem(reading: Reading, link: Link) -> tuple[str, str] | None:
    """What is wrong with a link, and how to mend it."""
    if link.scheme:
        return _scheme_problem(link)
    if not link.is_relative:
        return f"the link `{link.target}` is absolute", "write a path relative to this playbook"
    if not link.target.startswith("#"):
        return _file_problem(reading, link)
    sections: list[Location] = [("steps",), ("endings",)]
    if not reading.is_lost(*sections) and not any(link.fragment in reading.keys(section) for section in sections):
        return f"the link `{link.target}` leads to no step or ending", "name one of this playbook"
    return None


def _scheme_problem(link: Link) -> tuple[str, str] | None:
    if link.kind == "image":
        return f"the image `{link.target}` is fetched from elsewhere", "put the picture beside the playbook"
    if link.scheme not in SCHEMES:
        hint = "link to http, https, mailto or a file of the library"
        return f"the link `{link.target}` has the scheme `{link.scheme}`", hint
    return None


NO_FILE: Final = "write a path relative to this playbook"
HINTS: Final = {"leads to no file": NO_FILE, "leaves the library": "link to a file of the library"}


def _file_problem(reading: Reading, link: Link) -> tuple[str, str] | None:
    path = link.path_from(reading.playbook.area)
    try:
        real = own_file(reading.root, reading.settings.areas, path)
    except NotOwnError as error:
        if PurePosixPath(path).suffix == ".yaml" and str(error) not in HINTS:
            return f"the link `{link.target}` leads to no playbook", "link to a playbook of the library"
        hint = HINTS.get(str(error), "link to a file of the library, in the folder of an area")
        return f"the link `{link.target}` {error}", hint
    except OSError:  # no file system takes such a path
        return f"the link `{link.target}` leads to no file", NO_FILE
    return _kind_problem(reading, link, path, real)


def _kind_problem(reading: Reading, link: Link, path: str, real: Path) -> tuple[str, str] | None:
    """What is wrong with a file that is there, and is the library's own."""
    kind, size = PurePosixPath(path).suffix, real.stat().st_size
    if kind.lower() not in FILE_TYPES or real.suffix.lower() not in FILE_TYPES:
        return f"the link `{link.target}` leads to a file of an unwanted type", "types: " + " ".join(sorted(FILE_TYPES))
    if kind != ".yaml" and size > limits.FILE_BYTES.most:
        return f"the link `{link.target}` leads to a file of {size} bytes", limits.FILE_BYTES.hint
    if kind == ".yaml" and PurePosixPath(path).stem not in reading.slugs:
        return f"the link `{link.target}` leads to no playbook", "link to a playbook of the library"
    return None


def no_alt(reading: Reading) -> Iterator[Finding]:
    """A picture says in words what it shows, for those who cannot see it and where it is not loaded."""
    for node, text in _markdown(reading):
        for link in links_and_html(text)[0]:
            if link.kind == "image" and not link.alt:
                place = reading.source.near(node.start, node.end, link.target)
                hint = f"write `![what it shows]({link.target})`"
                yield reading.source.finding(
                    *place, "no-alt", f"the picture `{link.target}` says nothing in words", hint
                )


def raw_html(reading: Reading) -> Iterator[Finding]:
    """Raw HTML would be shown as text."""
    for node, text in _markdown(reading):
        for piece in links_and_html(text)[1]:
            message = f"raw HTML `{piece[:60]}`"
            hint = "write Markdown; put code and signs such as `<` in backticks"
            place = reading.source.near(node.start, node.end, piece)
            yield reading.source.finding(*place, "raw-html", message, hint)
