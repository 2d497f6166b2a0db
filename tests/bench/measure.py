"""Time and memory of builds beside the bare libraries in the same run: ``measure.py COUNT...``.

The floor is what no such site can do without (``floor.py``: parse, Markdown, one layout a playbook, nothing else). The
bare libraries also write as many pages of as many bytes as the build (``bare.py``), so that part follows the product.

Each count is a library of so many playbooks. Wall time in seconds; CPU time in seconds, user and system, with child
processes; memory in MiB of the largest process and of all processes together, each at its peak.
"""

import os
import subprocess
import sys
import threading
import time
from dataclasses import astuple, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory, TemporaryFile
from typing import Final

import psutil

ROOT: Final = Path(__file__).resolve().parents[2]
GENERATE: Final = Path(__file__).with_name("generate.py")
BARE: Final = Path(__file__).with_name("bare.py")
FLOOR: Final = Path(__file__).with_name("floor.py")
PAUSE: Final = 0.1
"""Seconds between two looks at the memory of all processes."""
MIB: Final = 1 << 20
MAXRSS_UNIT: Final = 1 if sys.platform == "darwin" else 1024
"""Bytes in a unit of ``ru_maxrss``, see getrusage(2)."""
HEAD: Final = ("playbooks", "what", "wall s", "CPU s", "largest MiB", "all MiB")


@dataclass(frozen=True, slots=True)
class Cost:
    wall: float
    cpu: float
    largest: float
    together: float

    def over(self, other: "Cost") -> "Cost":
        return Cost(*(mine / its for mine, its in zip(astuple(self), astuple(other), strict=True)))


def cost_of(*command: object) -> Cost:
    """What a command costs, its child processes included.

    Raises:
        SystemExit: it fails.
    """
    with TemporaryFile() as said:
        started = time.monotonic()
        process = subprocess.Popen([sys.executable, *map(str, command)], cwd=ROOT, stdout=said, stderr=said)
        looks = [0]
        ended = threading.Event()
        watcher = threading.Thread(target=_watch, args=(process.pid, looks, ended))
        watcher.start()
        _, status, usage = os.wait4(process.pid, 0)
        wall = time.monotonic() - started
        ended.set()
        watcher.join()
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            said.seek(0)
            raise SystemExit(f"failed: {' '.join(map(str, command))}\n{said.read().decode()}")
    largest = usage.ru_maxrss * MAXRSS_UNIT
    return Cost(wall, usage.ru_utime + usage.ru_stime, largest / MIB, max(largest, *looks) / MIB)


def _watch(pid: int, looks: list[int], ended: threading.Event) -> None:
    while not ended.wait(PAUSE):
        looks.append(_memory(pid))


def _memory(pid: int) -> int:
    """Resident bytes of a process and all below it; pages that they share count for each."""
    try:
        process = psutil.Process(pid)
        return sum(each.memory_info().rss for each in [process, *process.children(recursive=True)])
    except psutil.Error:
        return 0


def measure(count: int, workers: int) -> None:
    """Builds a library of so many playbooks and prints a row for each way and each ratio."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        cost_of(GENERATE, folder / "library", count)
        build = cost_of("-m", "builder", "build", "--library", folder / "library", "--out", folder / "site")
        asked = _pages(folder / "site")
        floor = cost_of(FLOOR, folder / "library")
        single = cost_of(BARE, folder / "library", folder / "single", *asked, 1)
        pool = cost_of(BARE, folder / "library", folder / "pool", *asked, workers)
    _print_row(count, f"build, {asked[0]} pages, {asked[1] / MIB:.0f} MiB", build, 1)
    _print_row("", "floor, 1 process", floor, 1)
    _print_row("", "bare, 1 process", single, 1)
    _print_row("", f"bare, {workers} processes", pool, 1)
    _print_row("", f"build / floor ({1000 * floor.cpu / count:.0f} ms of CPU a playbook)", build.over(floor), 2)
    _print_row("", "build / bare, 1 process", build.over(single), 2)
    _print_row("", f"build / bare, {workers} processes", build.over(pool), 2)


def _pages(site: Path) -> tuple[int, int]:
    """How many pages a site has, and their bytes. No list is kept: a process counts as large as its parent was."""
    count = size = 0
    for folder, _, names in os.walk(site):
        for name in names:
            if name.endswith(".html"):
                count += 1
                size += (Path(folder) / name).stat().st_size
    return count, size


def _print_row(count: object, what: str, cost: Cost, digits: int) -> None:
    _print_line(count, what, *(f"{figure:.{digits}f}" for figure in astuple(cost)))


def _print_line(count: object, what: str, *figures: str) -> None:
    print(f"{count:>9}  {what:<44}" + "".join(f"{figure:>13}" for figure in figures), flush=True)


if __name__ == "__main__":
    _print_line(*HEAD)
    for size in sys.argv[1:]:
        measure(int(size), os.cpu_count() or 1)
