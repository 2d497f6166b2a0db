"""The site taken along: its list of files, its version, and the zip file."""

import json
import re
import zipfile
from typing import Any

from builder.publish.hosting.offline import site_files
from builder.publish.site import write_site
from builder.read.library import read_library


def built(folder: Any, site: Any) -> Any:
    library = read_library(folder).library
    assert library
    site.mkdir()
    write_site(library, folder, site)
    return site


def listed(site: Any) -> dict[str, Any]:
    return json.loads((site / "offline.json").read_text(encoding="utf-8"))


def test_the_list_names_every_file_that_a_page_may_ask_for(site_dir):
    site = listed(site_dir)
    closing = {"sw.js", "offline.json", "site.zip"}
    assert set(site["files"]) | closing >= set(site_files(site_dir)) - {"headers.txt", "uploads.tsv"}
    assert all((site_dir / name).is_file() for name in site["files"])
    assert not closing & set(site["files"])
    assert site["bytes"] == sum((site_dir / name).stat().st_size for name in site["files"])


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


def test_the_zip_file_holds_the_whole_site_as_it_is(site_dir):
    with zipfile.ZipFile(site_dir / "site.zip") as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        for entry in archive.infolist():
            assert entry.date_time == (1980, 1, 1, 0, 0, 0)
            assert entry.compress_type == zipfile.ZIP_STORED
            assert entry.external_attr >> 16 == 0o100644
            assert archive.read(entry) == (site_dir / entry.filename).read_bytes()
    assert len(names) == len(set(names))
    assert set(listed(site_dir)["files"]) | {"sw.js", "offline.json"} == set(names)
