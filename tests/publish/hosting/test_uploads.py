"""The ways to hand a site out: an object store by the list of uploads, a branch of a Git host, a memory stick."""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.publish.hosting.uploads import FOR_EVER, media_type, uploads_text
from builder.publish.swap import fresh_folder

RunGit = Callable[..., str]
Run = Callable[..., Any]
Tree = Callable[[Path], dict[str, bytes]]

FOR_MAINTAINERS: Final = {"uploads.tsv", "headers.txt"}
FOREIGN_TO_FAT: Final = re.compile(r'[\x00-\x1f"*:<>?\\|]|[. ](/|$)')
DEVICES: Final = re.compile(r"(^|/)(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.[^/]*)?(/|$)", re.IGNORECASE)


class Store:
    """An object store: keeps bytes by key, with the headers that it will answer with."""

    def __init__(self) -> None:
        self.objects: dict[str, tuple[bytes, str, str]] = {}
        self.order: list[str] = []

    def put(self, key: str, data: bytes, content_type: str, cache_control: str) -> None:
        self.objects[key] = data, content_type, cache_control
        self.order.append(key)


@pytest.fixture(scope="module")
def store(site_dir: Path) -> Store:
    """A store to which the demo's site was uploaded, line by line of the list."""
    store = Store()
    for line in (site_dir / "uploads.tsv").read_text(encoding="utf-8").splitlines():
        name, content_type, cache_control = line.split("\t")
        store.put(name, (site_dir / name).read_bytes(), content_type, cache_control)
    return store


# -- An object store ---------------------------------------------------------------------------------------------------


def test_the_list_names_every_file_that_visitors_need(store: Store, site_dir: Path, tree: Tree) -> None:
    published = {name: data for name, data in tree(site_dir).items() if not name.startswith(".")}
    assert {name: data for name, (data, _, _) in store.objects.items()} == {
        name: data for name, data in published.items() if name not in FOR_MAINTAINERS
    }
    assert len(store.order) == len(store.objects)


def test_only_files_named_by_their_contents_are_kept_for_ever(store: Store) -> None:
    """Everything else changes under the same name with the next build."""
    lifetimes = {name: cache_control for name, (_, _, cache_control) in store.objects.items()}
    kept = {name for name, lifetime in lifetimes.items() if lifetime == FOR_EVER}
    assert kept == {name for name in lifetimes if name.startswith("assets/")}
    assert {lifetime for name, lifetime in lifetimes.items() if name not in kept} == {"no-cache"}
    assert all(re.fullmatch(r"assets/[\w-]+\.[0-9a-f]{10}\.\w+", name) for name in kept)


def test_media_types_are_those_that_browsers_ask_for(store: Store) -> None:
    """HTML Standard 4.12.1 for scripts, Web App Manifest for the manifest, RFC 4287 section 7 for the feed."""
    types = {name: content_type for name, (_, content_type, _) in store.objects.items()}
    assert types["index.html"] == "text/html; charset=utf-8"
    assert types["sw.js"] == "text/javascript; charset=utf-8"
    assert types["manifest.webmanifest"] == "application/manifest+json"
    assert types["offline.json"] == types["schema/playbook.json"] == "application/json"
    assert types["site.zip"] == "application/zip"
    assert {types[name] for name in types if name.startswith("flow/")} == {"image/svg+xml"}
    assert "application/octet-stream" not in types.values()
    assert (media_type("feed.xml"), media_type("sitemap.xml")) == ("application/atom+xml", "application/xml")
    assert (media_type("files/a/B.JPG"), media_type("files/a/b.odd")) == ("image/jpeg", "application/octet-stream")


def test_no_file_comes_before_what_it_needs(store: Store) -> None:
    order = {name: place for place, name in enumerate(store.order)}
    pages = [place for name, place in order.items() if name.endswith(".html")]
    data = [place for name, place in order.items() if name.startswith(("assets/", "data/", "flow/"))]
    assert max(data) < min(pages)
    assert store.order[-3:] == ["site.zip", "offline.json", "sw.js"]
    assert max(pages) < order["site.zip"]


def test_a_name_cannot_pass_for_another_line() -> None:
    """Names below ``files/`` are the library's, and may come from a stranger."""
    assert uploads_text(["index.html", "files/a/x\n/etc/passwd\ttext/html", "files/a/x\ty"]).splitlines() == [
        "index.html\ttext/html; charset=utf-8\tno-cache"
    ]


# -- A branch of a Git host --------------------------------------------------------------------------------------------


@pytest.fixture
def pages_branch(committed_library: Path, tmp_path: Path, run_git: RunGit) -> Path:
    """An empty branch, checked out beside the library's own; its host is a bare repository."""
    root = committed_library.parent
    run_git(tmp_path, "init", "--quiet", "--bare", "host.git")
    run_git(root, "remote", "add", "origin", str(tmp_path / "host.git"))
    run_git(root, "worktree", "add", "--quiet", "--detach", "../public")
    run_git(tmp_path / "public", "switch", "--quiet", "--orphan", "pages")
    return tmp_path / "public"


def publish(library: Path, branch: Path, run_builder: Run, run_git: RunGit) -> None:
    """The recipe of every further time."""
    done = run_builder("build", "--library", library, "--out", branch)
    assert done.returncode == 0, done.stderr
    run_git(branch, "add", "--all")
    run_git(branch, "commit", "--quiet", "--message=Site")
    run_git(branch, "push", "--quiet", "origin", "pages")


def test_a_branch_is_built_into_committed_and_pushed(
    committed_library: Path, pages_branch: Path, tmp_path: Path, run_builder: Run, run_git: RunGit, tree: Tree
) -> None:
    """From the first time to the second, with a file that the host wants kept."""
    publish(committed_library, pages_branch, run_builder, run_git)
    (pages_branch / "CNAME").write_text("cars.example.org\n", encoding="utf-8")
    (committed_library / "area/horn.yaml").unlink()
    publish(committed_library, pages_branch, run_builder, run_git)
    run_git(tmp_path, "clone", "--quiet", "--branch=pages", str(tmp_path / "host.git"), "visitor")
    there = tree(tmp_path / "visitor")
    assert there["CNAME"] == b"cars.example.org\n"
    assert {"index.html", ".nojekyll", "playbook/hooter.html"} <= there.keys()
    assert "playbook/horn.html" not in there
    assert run_git(pages_branch, "status", "--porcelain") == ""
    assert len(run_git(pages_branch, "log", "--oneline").splitlines()) == 2
    assert run_git(committed_library.parent, "worktree", "list").count("\n") == 1


def test_a_fresh_clone_of_the_branch_is_built_into(
    committed_library: Path, pages_branch: Path, tmp_path: Path, run_builder: Run, run_git: RunGit
) -> None:
    publish(committed_library, pages_branch, run_builder, run_git)
    run_git(tmp_path, "clone", "--quiet", "--branch=pages", str(tmp_path / "host.git"), "clone")
    (committed_library / "area/horn.yaml").unlink()
    publish(committed_library, tmp_path / "clone", run_builder, run_git)
    log = run_git(tmp_path / "host.git", "log", "--oneline", "pages")
    assert len(log.splitlines()) == 2


def test_a_repository_in_the_target_stays_a_repository(tmp_path: Path, run_git: RunGit) -> None:
    """Git needs folders that may be empty, such as `refs` when all references are packed (gitrepository-layout(5))."""
    site = tmp_path / "site"
    run_git(tmp_path, "init", "--quiet", "--initial-branch=pages", "site")
    for text in ("old", "new", "newest"):
        with fresh_folder(site) as folder:
            (folder / "index.html").write_text(text, encoding="utf-8")
        run_git(site, "add", "--all")
        run_git(site, "commit", "--quiet", f"--message={text}")
        run_git(site, "gc", "--quiet")
        run_git(site, "pack-refs", "--all")
        run_git(site, "fsck", "--strict")
    assert run_git(site, "log", "--format=%s").split() == ["newest", "new", "old"]
    assert run_git(site, "status", "--porcelain") == ""


# -- A memory stick ----------------------------------------------------------------------------------------------------


def test_the_zip_file_holds_the_site_and_unpacks_to_the_same_files(site_dir: Path, tmp_path: Path, tree: Tree) -> None:
    with zipfile.ZipFile(site_dir / "site.zip") as archive:
        assert archive.testzip() is None
        archive.extractall(tmp_path)
    unpacked = tree(tmp_path)
    site = {name: data for name, data in tree(site_dir).items() if not name.startswith(".")}
    assert unpacked.pop("version.js")  # without the commit, so that the zip file stays where no page has changed
    assert unpacked == {name: site[name] for name in site.keys() - FOR_MAINTAINERS - {"site.zip", "version.js"}}


def test_every_name_can_stand_on_a_stick(site_dir: Path, tree: Tree) -> None:
    """FAT and exFAT tell no case apart; the characters and devices are those of Microsoft's “Naming Files”."""
    names = list(tree(site_dir))
    assert [name for name in names if FOREIGN_TO_FAT.search(name.removeprefix(".")) or DEVICES.search(name)] == []
    assert len({name.casefold() for name in names}) == len(names)
    assert max(len(part) for name in names for part in name.split("/")) <= 255
