"""Commands in processes that a server forks, which has read Droplight once: a start costs next to nothing.

It is as if ``python -m builder`` had been called, but for what Python itself reads from the environment at its start;
a test that sets that calls a process of its own.
"""

import multiprocessing
import os
import runpy
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

ROOT: Final = Path(__file__).resolve().parent.parent
SERVER: Final = multiprocessing.get_context("forkserver")


def run_forked(arguments: Sequence[str], cwd: Path, timeout: float) -> "subprocess.CompletedProcess[str]":
    """What a command gives, as :func:`subprocess.run` does.

    Raises:
        subprocess.TimeoutExpired: it takes longer than so many seconds.
    """
    os.environ.setdefault("PYTHONPATH", str(ROOT))  # where the server, once it starts, finds what to read before
    SERVER.set_forkserver_preload(["tests.command", "tests.warm"])
    with TemporaryDirectory() as folder:
        said = [Path(folder) / "out", Path(folder) / "err"]
        process = SERVER.Process(target=_run, args=(list(arguments), str(cwd), dict(os.environ), *map(str, said)))
        process.start()
        process.join(timeout)
        if process.exitcode is None:
            process.kill()
            process.join()
            raise subprocess.TimeoutExpired(list(arguments), timeout)
        out, err = (path.read_text(encoding="utf-8") for path in said)
        return subprocess.CompletedProcess(list(arguments), process.exitcode, out, err)


def _run(arguments: list[str], cwd: str, environment: Mapping[str, str], out: str, err: str) -> None:
    os.chdir(cwd)
    os.environ.clear()
    os.environ.update(environment)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    for number, path in ((1, out), (2, err)):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT), number)
    sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = open(2, "w", encoding="utf-8", errors="backslashreplace", closefd=False)  # noqa: SIM115
    sys.argv = ["builder", *arguments]
    try:
        runpy.run_module("builder", run_name="__main__", alter_sys=True)
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
