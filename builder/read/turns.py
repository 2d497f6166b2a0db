"""Turns: work that is the same for many things, done one after the other or spread over processes."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Protocol, TypeVar

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")


class Run(Protocol):
    """How the same is done for many things: in this process, or spread over others."""

    def __call__(self, function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterable[R]:
        """The answers of ``function(shared, thing)`` for all things, in their order."""
        ...


def in_turn(function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterator[R]:
    """One after the other, in this process."""
    return (function(shared, thing) for thing in things)
