"""Finds a Chromium for the tests and prints its path; installs one where the machine has none.

Order: ``DROPLIGHT_CHROMIUM``, Debian's Chromium without windows (installed as root), the machine's own browser,
Debian's browser, a download by Playwright.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from playwright.sync_api import sync_playwright

NAMED: Final = "DROPLIGHT_CHROMIUM"
PLAYWRIGHT: Final = (sys.executable, "-m", "playwright")
SHELL: Final = "chromium-headless-shell"
"""Chromium without windows: a page of it costs a fraction of the time."""

COMMANDS: Final = (SHELL, "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
APPLICATIONS: Final = (
    "Chromium.app/Contents/MacOS/Chromium",
    "Google Chrome.app/Contents/MacOS/Google Chrome",
)
NO_CHROMIUM: Final = f"""No Chromium for the browser tests, and none could be installed.
Install Chromium or Chrome, or set {NAMED} to its path."""
NO_DRIVER: Final = """The program by which Playwright drives a browser does not run; what it said stands above.
On Debian: sudo apt-get install libatomic1"""


def find_or_install() -> str:
    """The path of a Chromium that runs.

    Raises:
        SystemExit: there is none, or nothing to drive it with, and it cannot be installed.
    """
    if not _driver_runs():
        _install_from_debian("libatomic1")
        if not _driver_runs():
            raise SystemExit(NO_DRIVER)
    if named := os.environ.get(NAMED):
        if not _runs(named):
            raise SystemExit(f"{NAMED} names no browser that runs: {named}")
        return named
    if shutil.which(SHELL) is None:
        _install_from_debian(SHELL)
    if path := _find():
        return path
    _install_from_debian("chromium")
    if path := _find():
        return path
    subprocess.run([*PLAYWRIGHT, "install", "chromium"], stdout=sys.stderr, check=False)
    if path := _find():
        return path
    raise SystemExit(NO_CHROMIUM)


def _find() -> str | None:
    return next(filter(_runs, _candidates()), None)


def _candidates() -> Iterator[str]:
    yield from filter(None, map(shutil.which, COMMANDS))
    for folder in (Path("/Applications"), Path.home() / "Applications"):
        yield from (str(folder / application) for application in APPLICATIONS)
    with sync_playwright() as playwright:
        yield playwright.chromium.executable_path


def _runs(path: str) -> bool:
    """Whether it is a browser; some systems have a script of that name that only tells how to install one."""
    try:
        return subprocess.run([path, "--version"], capture_output=True, timeout=60, check=False).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def _driver_runs() -> bool:
    return subprocess.run([*PLAYWRIGHT, "--version"], stdout=subprocess.DEVNULL, check=False).returncode == 0


def _install_from_debian(package: str) -> None:
    """Installs a package where that can be done without asking anyone."""
    if shutil.which("apt-get") and os.geteuid() == 0:
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for arguments in (["update", "-qq"], ["install", "-qq", "-y", package]):
            subprocess.run(["apt-get", *arguments], env=environment, stdout=subprocess.DEVNULL, check=False)


if __name__ == "__main__":
    print(find_or_install())
