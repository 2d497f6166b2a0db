"""The crew: worker processes that share the reading of playbooks and the writing of pages."""

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import parent_process
from threading import Thread
from types import TracebackType
from typing import Any

from builder.publish.build import Build, RunBuild, Written

_held: list[Build] = []
"""The one build that a worker process was started for."""


def _start(build: Build | None) -> None:
    _held[:] = [build] if build else []
    # Ctrl-C reaches every process of a terminal; the parent ends the workers, which would only say where they were.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Ends this worker once the build that started it is gone; a build that is killed cannot end it."""
    if parent := parent_process():
        parent.join()
        os._exit(1)


def _do(write: Callable[[Build, Sequence[str]], Written], chunk: Sequence[str]) -> Written:
    return write(_held[0], chunk)


class Workers:
    """Runs work in ``count`` processes (by default one a core); in this process where one is enough."""

    def __init__(self, count: int | None = None) -> None:
        self.count = count or len(os.sched_getaffinity(0) if hasattr(os, "sched_getaffinity") else [0] * 2)
        self.pools: list[ProcessPoolExecutor] = []

    def __enter__(self) -> "Workers":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for pool in self.pools:
            pool.shutdown(cancel_futures=True)

    def run_many(self, function: Callable[[Any], Any], items: Sequence[Any]) -> Iterator[Any]:
        """``function`` of every item, in order."""
        if self.count == 1 or len(items) < 2:
            return map(function, items)
        return self._pool().map(function, items)

    def run_build(self, advance: Callable[[int], None]) -> RunBuild:
        """Runs a build chunk by chunk and tells ``advance`` how many slugs each was."""

        def run(
            write: Callable[[Build, Sequence[str]], Written], build: Build, chunks: Sequence[Sequence[str]]
        ) -> Iterator[Written]:
            if self.count == 1 or len(chunks) < 2:
                done: Iterator[Written] = (write(build, chunk) for chunk in chunks)
            else:
                done = self._pool(build).map(_do, [write] * len(chunks), chunks)
            for chunk, written in zip(chunks, done, strict=True):
                advance(len(chunk))
                yield written

        return run

    def _pool(self, build: Build | None = None) -> ProcessPoolExecutor:
        pool = ProcessPoolExecutor(self.count, initializer=_start, initargs=(build,))
        self.pools.append(pool)
        return pool
