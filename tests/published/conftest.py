"""Libraries written to files as editors write them, and read back the whole way."""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from builder.read.findings import has_errors
from builder.read.library import read_library
from builder.read.records import Library


@pytest.fixture(scope="module")
def library_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Library]:
    """Writes playbooks (text by slug, less the keys that the numbers do not need) and catalogue files, and reads them.

    The labour rate is 60 an hour, one a minute.
    """

    def library_of(playbooks: Mapping[str, str], **catalogue: str) -> Library:
        root: Path = tmp_path_factory.mktemp("library")
        settings = "title: T\ncurrency: EUR\nlabour_rate: 60\nareas: {all: All}\n"
        (root / "library.yaml").write_text(settings, encoding="utf-8")
        (root / "catalogue").mkdir()
        (root / "all").mkdir()
        for kind, text in catalogue.items():
            (root / "catalogue" / f"{kind}.yaml").write_text(text, encoding="utf-8")
        for slug, text in playbooks.items():
            head = f"format: 1\ntitle: {slug}\nsymptom: {{summary: What is seen}}\n"
            (root / "all" / f"{slug}.yaml").write_text(head + text, encoding="utf-8")
        read = read_library(root)
        library, findings = read.library, read.findings
        assert not has_errors(findings), findings
        assert library is not None
        return library

    return library_of
