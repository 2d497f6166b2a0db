"""Puts a site of three pages in place and is killed on the way: ``dying_swap.py MOMENT SITE TEXT``.

``MOMENT`` counts what Python tells of files (opening to write, renaming, linking, removing …) from 1; at that one the
process kills itself as ``kill -9`` would. Its exit code is 0 if all was over before that.
"""

import os
import signal
import sys
from pathlib import Path
from typing import Final

from builder.publish.swap import fresh_folder

# Audit events of the standard library, https://docs.python.org/3/library/audit_events.html
EVENTS: Final = {"open", "os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "os.chmod", "shutil.rmtree"}


def die_at(moment: int) -> None:
    count = 0

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        nonlocal count
        reads = event == "open" and arguments[1] not in ("w", "wb", "x", "xb", "a")
        if event in EVENTS and not reads:
            count += 1
            if count == moment:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hook)


def put(site: Path, text: str) -> None:
    with fresh_folder(site) as folder:
        for name in ("index.html", "path/one.html", "path/two.html"):
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    die_at(int(sys.argv[1]))
    put(Path(sys.argv[2]), sys.argv[3])
