"""A theme of one's own: templates, scripts and assets go before the built-in ones, one by one."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

PAGES = ("index.html", "playbook/horn.html", "hazard/lifting.html", "safety.html", "404.html")


@pytest.fixture
def write_theme(tmp_path: Path) -> Callable[[Mapping[str, str]], Path]:
    """Writes a theme of these files and gives its folder."""

    def write(files: Mapping[str, str]) -> Path:
        for name, text in files.items():
            path = tmp_path / "theme" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return tmp_path / "theme"

    return write


@pytest.fixture
def build(small_library: Path, tmp_path: Path, run_builder: Run) -> Callable[[Path], Any]:
    """Builds the small library with a theme into ``site``."""

    def build(theme: Path) -> Any:
        return run_builder("build", "--library", small_library, "--out", tmp_path / "site", "--theme", theme)

    return build


def test_a_template_of_ones_own_goes_before_the_built_in_one_and_leaves_the_others(
    build: Run, write_theme: Run, tmp_path: Path
) -> None:
    done = build(write_theme({"templates/footer.html": "<p>Our own footer</p>\n"}))
    assert (done.returncode, done.stderr) == (0, "")
    for page in PAGES:
        html = (tmp_path / "site" / page).read_text(encoding="utf-8")
        assert "<p>Our own footer</p>" in html
        assert "does not replace the workshop manual" not in html
        assert '<header class="top">' in html


def test_a_template_can_extend_the_built_in_one_that_it_replaces(build: Run, write_theme: Run, tmp_path: Path) -> None:
    base = '{% extends "builtin/base.html" %}\n{% block footer %}<p>And our own line</p>{% endblock %}\n'
    done = build(write_theme({"templates/base.html": base}))
    assert (done.returncode, done.stderr) == (0, "")
    for page in PAGES:
        html = (tmp_path / "site" / page).read_text(encoding="utf-8")
        assert "<p>And our own line</p>" in html
        assert "does not replace the workshop manual" in html


def test_assets_replace_and_add_and_style_sheets_are_minified(build: Run, write_theme: Run, tmp_path: Path) -> None:
    theme = write_theme(
        {
            "assets/card.css": "body { color: navy; }\n",
            "assets/extra.css": "h1 { color: teal; }\n",
            "assets/.hidden": "not for the site\n",
            "templates/head.html": '{% include "builtin/head.html" %}<link rel="stylesheet" '
            "href=\"{{ link(assets['extra.css']) }}\">\n",
        }
    )
    done = build(theme)
    assert (done.returncode, done.stderr) == (0, "")
    assets = {path.name.split(".")[0]: path for path in (tmp_path / "site" / "assets").glob("*.css")}
    assert assets["card"].read_text(encoding="utf-8") == "body{color:navy}"
    assert assets["extra"].read_text(encoding="utf-8") == "h1{color:teal}"
    page = (tmp_path / "site" / "playbook" / "horn.html").read_text(encoding="utf-8")
    assert f'href="../assets/{assets["extra"].name}"' in page
    assert not list((tmp_path / "site").rglob("*hidden*"))


def test_scripts_replace_a_module_and_add_a_script(build: Run, write_theme: Run, tmp_path: Path) -> None:
    theme = write_theme(
        {
            "scripts/site/words.js": "export const say = (text) => `our own ${text}`;\n",
            "scripts/own.js": 'import { say } from "./site/words.js";\nimport { jobs } from "./device/store.js";\n'
            "say(`  ${jobs()}`);\n",
            "templates/head.html": '{% include "builtin/head.html" %}<script src="{{ link(assets[\'own.js\']) }}" '
            "defer></script>\n",
        }
    )
    done = build(theme)
    assert (done.returncode, done.stderr) == (0, "")
    scripts = {path.name.split(".")[0]: path for path in (tmp_path / "site" / "assets").glob("*.js")}
    texts = {name: path.read_text(encoding="utf-8") for name, path in scripts.items()}
    assert "our own ${text}" in texts["page"]
    assert "say(`  ${jobs()}`);" in texts["own"]
    assert "droplight.store??=" in texts["own"]
    assert "droplight.words??=" not in texts["own"]
    page = (tmp_path / "site" / "playbook" / "horn.html").read_text(encoding="utf-8")
    assert 0 < page.index(scripts["page"].name) < page.index(f'src="../assets/{scripts["own"].name}"')


def test_an_asset_goes_before_the_joined_script_of_its_name(build: Run, write_theme: Run, tmp_path: Path) -> None:
    done = build(write_theme({"assets/search.js": "/* as it is */\n"}))
    assert (done.returncode, done.stderr) == (0, "")
    (script,) = (tmp_path / "site" / "assets").glob("search.*.js")
    assert script.read_text(encoding="utf-8") == "/* as it is */\n"


def test_a_script_that_cannot_be_joined_is_named_with_its_place_and_leaves_the_old_site(
    build: Run, write_theme: Run, tmp_path: Path
) -> None:
    (tmp_path / "site").mkdir()
    done = build(write_theme({"scripts/own.js": '\nimport { nothing } from "./site/words.js";\n'}))
    assert done.returncode == 1
    assert "own.js:2:1: `site/words.js` does not export `nothing`" in done.stderr.replace("\n", " ")
    assert "Traceback" not in done.stderr
    assert list((tmp_path / "site").iterdir()) == []


@pytest.mark.parametrize("command", ["build", "preview"])
@pytest.mark.parametrize("kind", ["missing", "a file", "empty"])
def test_what_is_no_theme_is_wrong_usage(
    small_library: Path, tmp_path: Path, run_builder: Run, command: str, kind: str
) -> None:
    theme = tmp_path / "theme"
    if kind == "a file":
        theme.write_text("", encoding="utf-8")
    if kind == "empty":
        theme.mkdir()
    done = run_builder(command, "--library", small_library, "--theme", theme, cwd=tmp_path)
    assert done.returncode == 2
    assert "--theme" in done.stderr
    assert str(theme) in done.stderr.replace("\n", "")
    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize(
    ("name", "text", "line", "says"),
    [
        ("footer.html", "<p>\n{% if %}</p>\n", 2, "Expected an expression"),
        ("footer.html", "<p>\n\n{{ nobody_knows }}</p>\n", 3, "'nobody_knows' is undefined"),
        (
            "playbook.html",
            '{% extends "base.html" %}\n{% block main %}{{ view.nothing }}{% endblock %}\n',
            2,
            "nothing",
        ),
        ("area.html", '{% extends "nowhere.html" %}\n', 1, "nowhere.html"),
    ],
)
def test_a_template_that_cannot_be_filled_in_is_named_with_its_line_and_leaves_the_old_site(
    build: Run, write_theme: Run, tmp_path: Path, name: str, text: str, line: int, says: str
) -> None:
    (tmp_path / "site").mkdir()
    done = build(write_theme({f"templates/{name}": text}))
    assert done.returncode == 1
    assert f"{name}:{line}: " in done.stderr
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert list((tmp_path / "site").iterdir()) == []
