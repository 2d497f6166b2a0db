"""What a rule is: an id that a finding may have, what it means, and an example of wrong and right."""

from dataclasses import dataclass
from textwrap import dedent, indent
from typing import Final

from builder.format.worked import PATH
from builder.read.findings import ERROR, Severity

HEARD: Final = ("steps", "listen", "results")
MEASURED: Final = ("steps", "measure-at-pump", "results")
FUSE: Final = ("steps", "check-fuse")
FUSE_SEEN: Final = (*FUSE, "results")
WIPED: Final = ("steps", "wipe-the-glass", "results")
"""Places in the worked playbook."""


@dataclass(frozen=True, slots=True)
class Example:
    """A change to the worked library.

    ``text`` takes the place of the same keys of the mapping at ``at`` in ``file``. Without a file it lists the files
    of a library, one a line: ``path``, ``path/`` for a folder, ``path -> target`` for a symbolic link and
    ``path (empty)``. The last line stands ``times`` times, with its number for
    ``{n}`` and the next one for ``{m}``; the file is saved in ``encoding``.
    """

    text: str
    file: str = PATH
    at: tuple[str, ...] = ()
    times: int = 1
    encoding: str = "utf-8"

    @property
    def whole(self) -> str:
        """The text with its last line as often as it stands."""
        *first, last = self.text.splitlines()
        counted = (last.replace("{n}", str(n)).replace("{m}", str(n + 1)) for n in range(1, self.times + 1))
        return "\n".join([*first, *counted]) + "\n"

    @property
    def counts(self) -> bool:
        """Whether each time the last line has another number."""
        return "{n}" in self.text

    @property
    def shown(self) -> str:
        """The text below the keys that lead to it."""
        lines = [f"{'  ' * depth}{key}:\n" for depth, key in enumerate(self.at)]
        return "".join(lines) + indent(self.text, "  " * len(self.at))


@dataclass(frozen=True, slots=True)
class Rule:
    """``beside`` are rules whose findings the wrong example gives as well, since the value is lost to them."""

    name: str
    severity: Severity
    says: str
    wrong: Example
    right: Example
    beside: frozenset[str] = frozenset()


def rule(
    name: str,
    says: str,
    wrong: str,
    right: str,
    at: tuple[str, ...] = (),
    *,
    file: str = PATH,
    severity: Severity = ERROR,
    times: int = 1,
    encoding: str = "utf-8",
    beside: frozenset[str] = frozenset(),
) -> Rule:
    """A rule whose two examples stand at the same place; ``times`` and ``encoding`` are what is wrong with one."""
    first = Example(_lines(wrong), file, at, times, encoding)
    return Rule(name, severity, says, first, Example(_lines(right), file, at), beside)


def _lines(text: str) -> str:
    return dedent(text).strip("\n") + "\n"


def files(name: str, says: str, wrong: str, right: str) -> Rule:
    """A rule about which files there are."""
    return rule(name, says, f"library.yaml\n{wrong}", f"library.yaml\n{right}", file="")
