"""The site taken along: its list of files with their hashes, and what an unrelated commit changes."""

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.publish.hosting.archive import sealed
from builder.publish.hosting.offline import file_list, site_files
from builder.publish.site import write_site
from builder.read.library import read_library

CLOSING: Final = {"sw.js", "offline.json", "site.zip", "version.js"}
FOR_EDITORS: Final = re.compile(
    r"form\.html|data/form\.js|data/origin/.+|schema/playbook\.json|assets/(write\..+\.js|form\..+\.css)"
)
Tree = Callable[[Path], dict[str, bytes]]


def built(folder: Any, site: Any, archive: bool = True) -> Any:
    library = read_library(folder).library
    assert library
    site.mkdir()
    write_site(library, folder, site, archive=archive)
    return site


def listed(site: Any) -> dict[str, Any]:
    return json.loads((site / "offline.json").read_text(encoding="utf-8"))


def test_the_list_has_every_file_that_an_owners_page_may_ask_for_with_its_size_and_hash(site_dir):
    files = {name: (size, sha) for name, size, sha in listed(site_dir)["files"]}
    editors = {name for name in site_files(site_dir) if FOR_EDITORS.fullmatch(name)}
    assert files.keys() | CLOSING | editors >= set(site_files(site_dir)) - {"headers.txt", "uploads.tsv"}
    assert not (CLOSING | editors) & files.keys()
    for name, (size, sha) in files.items():
        data = (site_dir / name).read_bytes()
        assert (len(data), hashlib.sha256(data).hexdigest()) == (size, sha), name


def test_a_playbook_needs_its_own_files_and_the_pages_that_it_links_to(site_dir, demo_pages):
    site = listed(site_dir)
    names = [name for name, _, _ in site["files"]]
    some = {number for numbers in site["sets"].values() for number in numbers}
    for_all = {name for number, name in enumerate(names) if number not in some}
    assert {"index.html", "walk.html", "404.html", "data/search.js", "manifest.webmanifest"} <= for_all
    assert sorted(slug for slugs in site["areas"].values() for slug in slugs) == sorted(site["sets"])
    for slug, numbers in site["sets"].items():
        own = {names[number] for number in numbers}
        assert {f"playbook/{slug}.html", f"flow/{slug}.svg", f"data/playbook/{slug}.js"} <= own
        links = [link.get("href", "").partition("#")[0] for link in demo_pages[f"playbook/{slug}.html"].iter("a")]
        near = {link.removeprefix("../") for link in links if link.startswith("../")}
        assert {link for link in near if "playbook/" not in link} <= own | for_all | {"", "form.html"}, slug


def test_what_only_editors_need_is_not_taken_along(site_dir, demo_pages):
    """Nothing of it is loaded by any other page than the form."""
    editors = {name for name in site_files(site_dir) if FOR_EDITORS.fullmatch(name)}
    loaders = {"form.html", "data/form.js", "schema/playbook.json", "data/origin/headlamp-flickers.js"}
    assert loaders < editors
    assert len([name for name in editors if name.startswith("assets/")]) == 2
    for page, root in demo_pages.items():
        loaded = [one.get("src") for one in root.iter("script")]
        loaded += [one.get("href") for one in root.iter("link") if one.get("rel") == "stylesheet"]
        assert page == "form.html" or not {(link or "").removeprefix("../") for link in loaded} & editors, page


def test_the_service_worker_has_the_version_of_the_list(site_dir):
    script = (site_dir / "sw.js").read_text(encoding="utf-8")
    assert (
        re.search(r'^const VERSION = "([0-9a-f]{16})";$', script, re.MULTILINE).group(1) == listed(site_dir)["version"]
    )


def test_the_version_changes_with_a_word_and_with_nothing_else(small_library, tmp_path):
    first = built(small_library, tmp_path / "first")
    again = built(small_library, tmp_path / "again")
    assert (first / "offline.json").read_bytes() == (again / "offline.json").read_bytes()
    assert (first / "site.zip").read_bytes() == (again / "site.zip").read_bytes()
    playbook = small_library / "area" / "horn.yaml"
    playbook.write_text(playbook.read_text(encoding="utf-8").replace("melted", "molten"), encoding="utf-8")
    assert listed(built(small_library, tmp_path / "other"))["version"] != listed(first)["version"]


def test_the_version_changes_with_any_byte_name_or_set() -> None:
    files = [sealed("a.html", b"one"), sealed("b.html", b"two")]
    versions = {
        file_list(files, {"s": ["a.html"]}, {"area": ["s"]})["version"],
        file_list([files[0], sealed("b.html", b"too")], {"s": ["a.html"]}, {"area": ["s"]})["version"],
        file_list([files[0], sealed("c.html", b"two")], {"s": ["a.html"]}, {"area": ["s"]})["version"],
        file_list(files, {"s": ["b.html"]}, {"area": ["s"]})["version"],
        file_list(files, {"s": ["a.html"]}, {"area": []})["version"],
    }
    assert len(versions) == 5


def test_an_unrelated_commit_changes_the_file_of_the_version_and_no_other(
    committed_library: Path, tmp_path: Path, run_builder: Callable[..., Any], run_git: Callable[..., str], tree: Tree
) -> None:
    """Beside it only the build's own hidden record, which holds the hash of every file."""

    def build() -> dict[str, bytes]:
        done = run_builder("build", "--library", committed_library, "--out", tmp_path / "site")
        assert done.returncode == 0, done.stderr
        return {name: data for name, data in tree(tmp_path / "site").items() if not name.startswith(".")}

    before = build()
    (committed_library.parent / "NOTES").write_text("Not about any playbook.\n", encoding="utf-8")
    run_git(committed_library.parent, "add", ".")
    run_git(committed_library.parent, "commit", "--quiet", "--message=unrelated")
    after = build()
    assert before.keys() == after.keys()
    assert [name for name in before if before[name] != after[name]] == ["version.js"]
    assert run_git(committed_library.parent, "rev-parse", "HEAD")[:10].encode() in after["version.js"]


@pytest.mark.parametrize("archive", [True, False])
def test_the_zip_file_is_there_and_linked_only_if_it_is_wanted(small_library, tmp_path, archive):
    site = built(small_library, tmp_path / "site", archive)
    assert (site / "site.zip").exists() == archive
    assert ("site.zip" in (site / "index.html").read_text(encoding="utf-8")) == archive
    assert ("site.zip" in (site / "uploads.tsv").read_text(encoding="utf-8")) == archive
