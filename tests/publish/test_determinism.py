"""The same library gives the same bytes, whatever the machine, the order, the place and the time."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from tests.sweep import SWEEP

ROOT: Final = Path(__file__).resolve().parents[2]
Tree = Callable[[Path], dict[str, bytes]]

# The command in a process whose clock says another day.
LATER: Final = """
import time
now = time.time
time.time = lambda: now() + 1e8
time.localtime = time.gmtime = lambda *_: time.struct_time((2031, 5, 6, 7, 8, 9, 1, 126, 0))
from builder.cli import main
main()
"""


def build(library: Path, site: Path, workers: int, environment: dict[str, str], start: tuple[str, ...]) -> None:
    command = [
        sys.executable,
        *start,
        "build",
        "--workers",
        str(workers),
        "--library",
        str(library),
        "--out",
        str(site),
    ]
    done = subprocess.run(
        command, cwd=ROOT, env={**os.environ, **environment}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def copied_backwards(library: Path, copy: Path) -> Path:
    """The same files in another folder, made in the opposite order and with other times, at the same commit.

    What Git says of the library is part of the input: pages name the commit, the feed gives dates.
    """
    asked = subprocess.run(
        ["git", "rev-parse", "--absolute-git-dir"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if asked.returncode == 0:
        copy.parent.mkdir(parents=True, exist_ok=True)
        (copy.parent / ".git").write_text(f"gitdir: {asked.stdout}", encoding="utf-8")
    for path in sorted(library.rglob("*"), reverse=True):
        if path.is_file():
            target = copy / path.relative_to(library)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target)
            os.utime(target, (0, 0))
    return copy


@pytest.mark.parametrize(
    ("workers", "environment", "start"),
    [
        (1, {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "LANG": "C"}, ("-m", "builder")),
        (2, {"PYTHONHASHSEED": "2", "TZ": "America/St_Johns", "LC_ALL": "tr_TR.UTF-8"}, ("-c", LATER)),
        (3, {"PYTHONHASHSEED": "3", "LANG": "de_DE.UTF-8", "LANGUAGE": "de", "PYTHONUTF8": "0"}, ("-m", "builder")),
    ][: 3 if SWEEP else 2],
)
def test_the_demo_is_built_to_the_same_bytes(
    site_dir: Path,
    tmp_path: Path,
    tree: Tree,
    workers: int,
    environment: dict[str, str],
    start: tuple[str, ...],
) -> None:
    library = copied_backwards(ROOT / "playbooks", tmp_path / f"another name {workers}" / "playbooks")
    build(library, tmp_path / "öther site", workers, environment, start)
    one, other = tree(site_dir), tree(tmp_path / "öther site")
    assert sorted(one) == sorted(other)
    assert [name for name in one if one[name] != other[name]] == []


def test_hazards_that_a_library_does_not_name_have_one_order(
    tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any], tree: Tree
) -> None:
    """Sets of Python have another order under another seed of its hashes."""
    hot = {"name": "Hot", "signal": "caution", "harm": "Burns.", "avoid": "Wait."}
    library = write_library(tmp_path / "library", {"area/horn": horn}, catalogue={"hazards": {"hot": hot}})
    sites = []
    for seed in "18":  # under these a set of the two names has either order
        build(library, tmp_path / "site", 1, {"PYTHONHASHSEED": seed}, ("-m", "builder"))
        sites.append(tree(tmp_path / "site"))
    assert [name for name in sites[0] if any(site[name] != sites[0][name] for site in sites)] == []
