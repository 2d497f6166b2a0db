"""A yard: a folder with a site in it, things of others in the site and beside it, and what must be true of them."""

import os
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.publish.swap import fresh_folder
from builder.publish.target.manifest import read_manifest

PAGES: Final = ("index.html", "path/one.html", "path/two.html", "files/a\nb.png", ".nojekyll")
OLD_PAGES: Final = (*PAGES, "gone.html", "gone/too.html", "edited-gone.html")
NEW_PAGES: Final = (*PAGES, "new.html", "taken.html", "own-folder")

OTHERS: Final = {
    "CNAME": "example.org",
    "own/note.txt": "mine",
    "own/deep/er.txt": "mine too",
    "path/aside.txt": "beside pages",
    "gone/stays.txt": "in a folder of pages that are gone",
    "edited-gone.html": "edited, and no longer made",
    ".git/HEAD": "ref: refs/heads/pages",
}
"""What others put into the site, and where it must be whatever happens."""

IN_THE_WAY: Final = {
    "path/two.html": "edited by hand",
    "taken.html": "written by hand",
    "own-folder/note.txt": "in a folder of which a page takes the name",
}
"""What others have where the new site has a page."""

BESIDE: Final = {
    ".site.123.new/half.html": "a stranger's",
    ".site.0123456789abcdef.old/index.html": "a stranger's too",
    ".site.lock": "and his",
    "site.kept/x": "and hers",
}


def write(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


def put(site: Path, files: dict[str, str]) -> None:
    """A build that writes some files."""
    with fresh_folder(site) as folder:
        write(folder, files)


def read(site: Path) -> dict[str, str]:
    """Every file below a folder with what is in it; links are not followed."""
    return {
        path.relative_to(site).as_posix(): path.read_text(encoding="utf-8")
        for path in site.rglob("*")
        if stat.S_ISREG(path.lstat().st_mode)
    }


@dataclass(frozen=True)
class Yard:
    """``root`` holds the site and what is beside it."""

    root: Path

    @property
    def site(self) -> Path:
        return self.root / "site"

    def lay_out(self) -> "Yard":
        """An old site with things of others, and strangers' folders beside it."""
        put(self.site, dict.fromkeys(OLD_PAGES, "old"))
        write(self.site, IN_THE_WAY | OTHERS)
        (self.site / "own/empty").mkdir()
        (self.site / "own/link").symlink_to("note.txt")
        os.mkfifo(self.site / "own/pipe")
        (self.site / "own").chmod(0o751)
        os.utime(self.site / "own", (1_000_000_000, 1_000_000_000))
        self.site.chmod(0o775)
        write(self.root, BESIDE)
        return self

    def build(self, text: str = "new") -> None:
        put(self.site, dict.fromkeys(NEW_PAGES, text))

    def pages(self) -> set[str]:
        """The texts of the pages that both sites have; one, where the site is of a piece."""
        return {(self.site / name).read_text(encoding="utf-8") for name in PAGES if name not in IN_THE_WAY}

    def look_from_outside(self) -> None:
        """What a visitor sees who comes while builds come and go: one site, as long as it is the one in place."""
        stay = os.open(self.site, os.O_RDONLY)
        try:
            seen = {_text(name, stay) for name in PAGES if name not in IN_THE_WAY}
            is_in_place = os.path.samestat(os.fstat(stay), self.site.stat())
        finally:
            os.close(stay)
        assert seen in ({"old"}, {"new"}, {"newer"}) or not is_in_place

    def look(self) -> None:
        """What must be true at every moment at which there is a site."""
        assert self.pages() in ({"old"}, {"new"}, {"newer"})
        made = read_manifest(self.site)
        assert made is not None
        assert all((self.site / name).is_file() for name in made.files if name not in OTHERS)
        found = read(self.root)
        for name, text in OTHERS.items():
            if not name.startswith(("gone/", "edited-")):
                assert found[f"site/{name}"] == text
        for text in (*OTHERS.values(), *IN_THE_WAY.values()):
            assert text in found.values()
        assert {name: found[name] for name in BESIDE} == BESIDE

    def look_when_all_is_over(self, text: str, *, times: bool = True) -> None:
        """What must be true after a build that ended well: nothing is lost, and nothing is left."""
        found = read(self.root)
        assert {name: found.pop(name) for name in BESIDE} == BESIDE
        assert found.pop("site/.droplight")
        for name in (*NEW_PAGES,):
            assert found.pop(f"site/{name}") == text, name
        for name, other in OTHERS.items():
            assert found.pop(f"site/{name}") == other, name
        for name, other in IN_THE_WAY.items():
            kept = name.replace("own-folder", "own-folder.kept") if "/note" in name else f"{name}.kept"
            assert found.pop(f"site/{kept}") == other, name
        assert found == {}
        own = self.site / "own"
        assert (own / "empty").is_dir()
        assert (own / "link").readlink() == Path("note.txt")
        assert stat.S_ISFIFO((own / "pipe").lstat().st_mode)
        assert stat.S_IMODE(own.stat().st_mode) == 0o751
        assert stat.S_IMODE(self.site.stat().st_mode) == 0o775
        assert own.stat().st_mtime == 1_000_000_000 or not times
        self.look_beside()

    def look_beside(self) -> None:
        """Nothing of a build is left beside the site, and nothing of strangers is gone."""
        assert {path.name for path in self.root.iterdir()} == {"site", *(name.partition("/")[0] for name in BESIDE)}


def _text(name: str, folder: int) -> str:
    """What a file holds that is in an open folder; nothing if it is gone."""
    try:
        file = os.open(name, os.O_RDONLY, dir_fd=folder)
    except FileNotFoundError:
        return ""
    with os.fdopen(file, encoding="utf-8") as text:
        return text.read()
