"""The crew: worker processes that share the reading of playbooks and the writing of pages."""

import os
import pickle
import shutil
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import cached_property, lru_cache
from multiprocessing import parent_process
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from types import TracebackType
from typing import Any, Final, NamedTuple, TypeVar

S = TypeVar("S")
T = TypeVar("T")
R = TypeVar("R")

CHUNK: Final = 8
"""How many things a worker takes at a time."""


class _Task(NamedTuple):
    """A function and the file that holds what its calls share, so that this goes to each worker once."""

    function: Callable[[Any, Any], Any]
    shared: Path


def _start(folder: str) -> None:
    # Ctrl-C reaches every process of a terminal; the parent ends the workers, which would only say where they were.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, args=(folder,), daemon=True).start()


def _end_with_parent(folder: str) -> None:
    """Ends this worker once the build that started it is gone, and clears away for it; one that is killed cannot."""
    if parent := parent_process():
        parent.join()
        shutil.rmtree(folder, ignore_errors=True)
        os._exit(1)


@lru_cache(maxsize=1)
def _loaded(shared: Path) -> Any:
    return pickle.loads(shared.read_bytes())  # noqa: S301 - written by the parent, in a folder of its own


def _do(task: _Task, thing: Any) -> Any:
    return task.function(_loaded(task.shared), thing)


class Workers:
    """Runs work in ``count`` processes (by default one a core); in this process where one is enough."""

    def __init__(self, count: int | None = None) -> None:
        self.count = count or len(os.sched_getaffinity(0) if hasattr(os, "sched_getaffinity") else [0] * 2)
        self._runs = 0

    def __enter__(self) -> "Workers":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if "_pool" in vars(self):
            self._pool.shutdown(cancel_futures=True)
        if "_folder" in vars(self):
            self._folder.cleanup()

    @cached_property
    def _pool(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(self.count, initializer=_start, initargs=(self._folder.name,))

    @cached_property
    def _folder(self) -> "TemporaryDirectory[str]":
        return TemporaryDirectory(prefix="droplight-", ignore_cleanup_errors=True)

    def run(self, function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterator[R]:
        """``function`` of what is shared and of every thing, in order; see :class:`builder.read.turns.Run`."""
        if self.count == 1 or len(things) <= CHUNK:
            return (function(shared, thing) for thing in things)
        self._runs += 1
        file = Path(self._folder.name, str(self._runs))
        file.write_bytes(pickle.dumps(shared))
        task = _Task(function, file)
        return self._pool.map(_do, [task] * len(things), things, chunksize=CHUNK)
