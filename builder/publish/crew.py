"""The crew: worker processes that share the reading of playbooks and the writing of pages."""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import parent_process
from threading import Thread
from types import TracebackType
from typing import Any

from builder.publish.site import Job, RunJob, Written

_held: list[Job] = []
"""The one job that a worker process was started for."""


def _start(job: Job | None) -> None:
    _held[:] = [job] if job else []
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """Ends this worker once the build that started it is gone; a build that is killed cannot end it."""
    if parent := parent_process():
        parent.join()
        os._exit(1)


def _do(write: Callable[[Job, Sequence[str]], Written], chunk: Sequence[str]) -> Written:
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

    def run_job(self, advance: Callable[[int], None]) -> RunJob:
        """Runs a job chunk by chunk and tells ``advance`` how many slugs each was."""

        def run(
            write: Callable[[Job, Sequence[str]], Written], job: Job, chunks: Sequence[Sequence[str]]
        ) -> Iterator[Written]:
            if self.count == 1 or len(chunks) < 2:
                done: Iterator[Written] = (write(job, chunk) for chunk in chunks)
            else:
                done = self._pool(job).map(_do, [write] * len(chunks), chunks)
            for chunk, written in zip(chunks, done, strict=True):
                advance(len(chunk))
                yield written

        return run

    def _pool(self, job: Job | None = None) -> ProcessPoolExecutor:
        pool = ProcessPoolExecutor(self.count, initializer=_start, initargs=(job,))
        self.pools.append(pool)
        return pool
