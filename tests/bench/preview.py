"""Time from a save to the page that shows it, in a running preview: ``preview.py [COUNT] [ROUNDS]`` prints seconds.

The library has so many playbooks. What is timed: the save, the preview's notice of it, and the page as it is then.
"""

import json
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
GENERATE: Final = Path(__file__).with_name("generate.py")

PLAYBOOK: Final = "playbook/playbook-00000.html"


def fetch(address: str) -> str:
    with urllib.request.urlopen(address, timeout=60) as answer:  # noqa: S310 - our own preview
        return str(answer.read().decode())


@contextmanager
def running(library: Path) -> Iterator[str]:
    """The address of a preview of a library."""
    command = [sys.executable, "-m", "builder", "preview", "--library", str(library)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        assert process.stdout
        try:
            yield process.stdout.readline().strip()
        finally:
            process.terminate()


def seconds_to_show(address: str, page: str, file: Path, change: Callable[[str, str], str], mark: str) -> float:
    """Seconds from the save of a file, changed so that it holds the mark, to the page that shows the mark."""
    text = change(file.read_text(encoding="utf-8"), mark)
    seen = json.loads(fetch(f"{address}.preview/state"))["state"]
    started = time.perf_counter()
    file.write_text(text, encoding="utf-8", newline="\n")
    fetch(f"{address}.preview/state?seen={seen}")
    if mark not in fetch(address + page):
        raise SystemExit(f"{page} does not show the change of {file.name}")
    return time.perf_counter() - started


def _title(text: str, mark: str) -> str:
    return "\n".join(f"title: {mark}" if line.startswith("title: ") else line for line in text.split("\n"))


def _first_name(text: str, mark: str) -> str:
    return text.replace(f"name: {text.partition('name: ')[2].partition(chr(10))[0]}", f"name: {mark}", 1)


def measure(count: int, rounds: int) -> None:
    with TemporaryDirectory() as name:
        library = Path(name) / "library"
        subprocess.run([sys.executable, str(GENERATE), str(library), str(count)], check=True)
        book, parts = library / "cooling" / "playbook-00000.yaml", library / "catalogue" / "parts.yaml"
        started = time.perf_counter()
        with running(library) as address:
            print(f"{count} playbooks: ready in {time.perf_counter() - started:.1f} s")
            for what, page, file, change in (
                ("a playbook, its page", PLAYBOOK, book, _title),
                ("a playbook, the home page", "index.html", book, _title),
                ("a part, its page", "part/part-0.html", parts, _first_name),
            ):
                times = [seconds_to_show(address, page, file, change, f"Changed {n} {page}") for n in range(rounds)]
                print(f"{what:<28} median {median(times):5.2f}   most {max(times):5.2f}")


if __name__ == "__main__":
    arguments = [int(argument) for argument in sys.argv[1:]]
    measure(*(arguments + [500, 5][len(arguments) :]))
