"""A build of next to nothing, which the server of commands makes before it forks.

What Droplight remembers within a process (scripts and templates, patterns of words) is then there for all of them.
"""

from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

from builder.cli import main

with TemporaryDirectory() as folder, redirect_stdout(StringIO()), redirect_stderr(StringIO()):
    library = Path(folder) / "library"
    (library / "area").mkdir(parents=True)
    (library / "library.yaml").write_text(
        "title: T\ncurrency: EUR\nlabour_rate: 60\nareas: {area: A}\n", encoding="utf-8"
    )
    (library / "area" / "horn.yaml").write_text(
        """\
format: 1
title: The horn is dead
symptom: {summary: No sound}
start: look
steps:
  look: {title: Look, time: 1 min, results: {on: {expect: Whole, next: fit}, off: {expect: Cut, next: fit-it}}}
endings:
  fit: {title: Fit a horn}
  fit-it: {title: Fit a fuse}
""",
        encoding="utf-8",
    )
    site = str(Path(folder) / "site")
    main(["build", "--library", str(library), "--out", site, "--workers", "1"], standalone_mode=False)
