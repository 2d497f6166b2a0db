"""The layout program: found without the PATH, or another one; missing, failing and hanging ones."""

from collections.abc import Callable, Iterator
from importlib.metadata import PackageNotFoundError
from pathlib import Path
from typing import Final

import pytest

from builder.draw import layout
from builder.draw.layout import LayoutError, bundled_program, lay_out

WriteProgram = Callable[[Path, str], Path]

GRAPH: Final = "digraph { a -> b }"
SVG: Final = "http://www.w3.org/2000/svg"


@pytest.fixture(autouse=True)
def _look_again() -> Iterator[None]:
    """The place of the bundled program is kept; each test looks for it anew."""
    bundled_program.cache_clear()
    yield
    bundled_program.cache_clear()


def test_the_bundled_program_needs_no_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert lay_out(GRAPH).tag == f"{{{SVG}}}svg"


def test_another_program_is_given_the_graph_and_the_format(tmp_path: Path, write_program: WriteProgram) -> None:
    body = f"import sys; print('<svg xmlns=\"{SVG}\">', *sys.argv[1:], len(sys.stdin.read()), '</svg>')"
    assert lay_out(GRAPH, write_program(tmp_path, body)).text == f" -Kdot -Tsvg {len(GRAPH)} "


def test_a_missing_package_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def absent(name: str) -> None:
        raise PackageNotFoundError(name)

    monkeypatch.setattr(layout, "files", absent)
    with pytest.raises(LayoutError, match="missing; install the package `graphviz-pure`, or name one with --dot"):
        lay_out(GRAPH)


def test_a_program_that_is_no_program_is_named(tmp_path: Path) -> None:
    text = tmp_path / "text"
    text.write_text("no program", encoding="utf-8")
    with pytest.raises(LayoutError, match="text` cannot be run: Permission denied"):
        lay_out(GRAPH, text)


def test_a_failing_program_is_quoted(tmp_path: Path, write_program: WriteProgram) -> None:
    body = "import sys; sys.exit('first\\nno memory for this graph')"
    with pytest.raises(LayoutError, match=r"failed: no memory for this graph$"):
        lay_out(GRAPH, write_program(tmp_path, body))


def test_a_program_that_fails_without_a_word_gives_its_exit_code(tmp_path: Path, write_program: WriteProgram) -> None:
    with pytest.raises(LayoutError, match=r"failed: exit code 7$"):
        lay_out(GRAPH, write_program(tmp_path, "import sys; sys.exit(7)"))


def test_a_program_that_hangs_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, write_program: WriteProgram
) -> None:
    monkeypatch.setattr(layout, "TIMEOUT", 0.5)
    with pytest.raises(LayoutError, match=r"took more than 0\.5 s"):
        lay_out(GRAPH, write_program(tmp_path, "import time; time.sleep(300)"))


@pytest.mark.parametrize("said", ["", "no drawing", "<svg>", "<html/>", "<svg/>", "\\xff"])
def test_a_program_that_draws_nothing_is_a_failure(tmp_path: Path, said: str, write_program: WriteProgram) -> None:
    with pytest.raises(LayoutError, match="gave no SVG"):
        lay_out(GRAPH, write_program(tmp_path, f"import sys; sys.stdout.buffer.write(b'{said}')"))


def test_text_goes_to_the_program_and_comes_back_as_utf_8(tmp_path: Path, write_program: WriteProgram) -> None:
    body = "import sys; sys.stdout.buffer.write(sys.stdin.buffer.read())"
    assert lay_out(f'<svg xmlns="{SVG}">Größe 😀</svg>', write_program(tmp_path, body)).text == "Größe 😀"
