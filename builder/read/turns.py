"""Turns: work that is the same for many things, done one after the other or spread over processes."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Protocol, TypeVar

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")


class Run(Protocol):
    """Calls a function with what all calls share and each of the things, and gives the answers in their order."""

    def __call__(self, function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterable[R]: ...


def in_turn(function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterator[R]:
    """One after the other, in this process."""
    return (function(shared, thing) for thing in things)
