"""Finds an nginx for the tests and prints its path and that of its table of media types; nothing where there is none.

Order: ``DROPLIGHT_NGINX``, the machine's own, Debian's package. That is unpacked into the folder that the command line
names and not installed, since installing it would start a server for all the world.
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

NAMED: Final = "DROPLIGHT_NGINX"
PLACES: Final = "/usr/sbin:/usr/local/sbin:/usr/local/bin:/opt/homebrew/bin"
PACKAGES: Final = ("nginx", "nginx-light", "nginx-common")
"""Which of the first two holds the program differs between Debian's versions; the third holds the media types."""


def find_or_unpack(folder: Path) -> tuple[Path, Path] | None:
    """The program and its media types."""
    found = next(filter(None, map(_whole, _candidates())), None)
    if found is None:
        _unpack_from_debian(folder)
        found = _whole(folder / "usr/sbin/nginx")
    return found


def _candidates() -> Iterator[Path]:
    names = os.environ.get(NAMED), shutil.which("nginx"), shutil.which("nginx", path=PLACES)
    yield from map(Path, filter(None, names))


def _whole(program: Path) -> tuple[Path, Path] | None:
    """The program with its media types, if it runs; its folder of settings stands in what it says of itself."""
    try:
        said = subprocess.run([program, "-V"], capture_output=True, text=True, check=False).stderr
    except OSError:
        return None
    settings = re.search(r"--conf-path=(\S+)", said)
    if settings is None:
        return None
    own = Path(settings[1]).with_name("mime.types")
    places = (own, program.parents[2] / own.relative_to("/"))
    return next(((program, types) for types in places if types.is_file()), None)


def _unpack_from_debian(folder: Path) -> None:
    if not (shutil.which("apt-get") and shutil.which("dpkg-deb")):
        return
    folder.mkdir(parents=True, exist_ok=True)
    if os.geteuid() == 0:
        subprocess.run(["apt-get", "update", "-qq"], stdout=subprocess.DEVNULL, check=False)
    for package in PACKAGES:
        subprocess.run(["apt-get", "download", "-qq", package], cwd=folder, capture_output=True, check=False)
    for archive in sorted(folder.glob("*.deb")):
        subprocess.run(["dpkg-deb", "--extract", archive, folder], capture_output=True, check=False)


if __name__ == "__main__":
    if found := find_or_unpack(Path(sys.argv[1])):
        print(*found, sep="\n")
