"""Scripts of the site: modules joined in the order in which they need each other, each where a page needs it."""

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import pytest

from builder.publish.data.jobschema import made_modules
from builder.publish.pages.modules import module_of
from builder.publish.pages.scripts import scripts_of
from builder.publish.pages.theme import BUILT_IN, Theme, ThemeError, theme_folder
from tests.browser.scripts import node

ROOT: Final = Path(__file__).resolve().parents[3]
DEFINED: Final = re.compile(r"^droplight\.(\w+)\?\?=", re.MULTILINE)
MOST_ON_EVERY_PAGE: Final = 7000


@pytest.fixture
def join(tmp_path: Path) -> Callable[[Mapping[str, str]], dict[str, str]]:
    """Joins the built-in modules with these, by their paths from the folder of scripts."""

    def join(files: Mapping[str, str]) -> dict[str, str]:
        for name, text in files.items():
            path = tmp_path / "theme" / "scripts" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        found = scripts_of(Theme(tmp_path / "theme"), made_modules())
        return {name: data.decode() for name, data in found.items()}

    return join


def modules(script: str) -> list[str]:
    return DEFINED.findall(script)


# --- The scripts of the built-in theme


def test_plain_pages_get_little() -> None:
    scripts = scripts_of(BUILT_IN, made_modules())
    assert len(scripts["page.js"]) < MOST_ON_EVERY_PAGE
    on_every_page = modules(scripts["page.js"].decode())
    assert on_every_page[-1] == "page"
    assert not {"bill", "expect", "job", "figures"} & set(on_every_page)


def test_no_script_repeats_what_is_on_every_page() -> None:
    scripts = {name: modules(data.decode()) for name, data in scripts_of(BUILT_IN, made_modules()).items()}
    base = set(scripts.pop("page.js"))
    assert scripts
    for found in scripts.values():
        assert len(set(found)) == len(found)
        assert not base & set(found)


def test_every_script_is_one_to_a_browser(tmp_path: Path) -> None:
    for name, data in scripts_of(BUILT_IN, made_modules()).items():
        (tmp_path / name).write_bytes(data)
        done = node.run("--check", name, cwd=tmp_path)
        assert (done.returncode, done.stderr) == (0, "")


def test_every_module_stands_after_what_it_needs() -> None:
    scripts = {name: data.decode() for name, data in scripts_of(BUILT_IN, made_modules()).items()}
    known: set[str] = set()
    for name in ("page.js", *sorted(set(scripts) - {"page.js"})):
        known = known if name == "page.js" else set(modules(scripts["page.js"]))
        for line in scripts[name].split("droplight.")[1:]:
            used = re.match(r"\w+", line)
            assert used
            if line.startswith(f"{used[0]}??="):
                known.add(used[0])
            else:
                assert used[0] in {*known, "take", "texts"} or line.startswith(("take", "texts"))


def test_rooms_of_scripts_import_only_from_those_above_them() -> None:
    """The order stands in DEVELOPERS.md."""
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("| folder | holds |")[2].partition("\n\n")[0]
    rooms = ["made", *re.findall(r"^\| `(\w+)/` \|", table, re.MULTILINE)]
    folder = theme_folder() / "scripts"
    assert set(rooms) == {"made", *(path.name for path in folder.iterdir() if path.is_dir())}
    for path in folder.glob("*/**/*.js"):
        room = path.relative_to(folder).parts[0]
        for needed in module_of(path.relative_to(folder).as_posix(), path.read_bytes()).imports:
            assert rooms.index(needed.path.partition("/")[0]) <= rooms.index(room), f"{path.name}: {needed.path}"


# --- What the joined code does


def test_joined_modules_give_each_other_their_exports_and_run_once(join: Any, tmp_path: Path) -> None:
    scripts = join(
        {
            "first.js": 'import { two } from "./room/deep.js";\nimport * as all from "./room/deep.js";\n'
            "console.log(two(), Object.keys(all).join());\n",
            "second.js": 'import "./first.js";\nimport { one as uno } from "./room/plain.js";\nconsole.log(uno);\n',
            "room/plain.js": 'console.log("once");\nexport const one = 1;\n',
            "room/deep.js": 'import { one } from "./plain.js";\nexport const two = () => one + 1;\n'
            "const own = 0;\nexport { own as none };\n",
        }
    )
    for name in ("first.js", "second.js"):
        (tmp_path / name).write_text(scripts[name], encoding="utf-8")
    both = "const run = (name) => require('vm').runInThisContext(require('fs').readFileSync(name, 'utf8'));"
    done = node.run(
        "-e",
        f"{both} run('first.js'); run('second.js'); console.log(Object.keys(globalThis.droplight).join())",
        cwd=tmp_path,
    )
    assert done.stderr == ""
    assert done.stdout.splitlines() == ["once", "2 two,none", "1", "plain,deep,first,second"]


# --- What does not fit together


@pytest.mark.parametrize(
    ("files", "place", "says"),
    [
        ({"a.js": "\nconst b = ;"}, "a.js:2:", "no JavaScript"),
        ({"a.js": 'import { b } from "./nowhere.js";'}, "a.js:1:1", "there is no module `nowhere.js`"),
        ({"a.js": '\nimport { b } from "./show/dom.js";'}, "a.js:2:1", "`show/dom.js` does not export `b`"),
        ({"room/dom.js": ""}, "dom.js:1:1", "another module has this name"),
        (
            {"a.js": 'import "./b.js";', "b.js": 'import "./c.js";', "c.js": 'import "./a.js";'},
            ".js:1:1",
            "need each other",
        ),
    ],
)
def test_what_does_not_fit_is_named_with_its_place(join: Any, files: dict[str, str], place: str, says: str) -> None:
    with pytest.raises(ThemeError) as refused:
        join(files)
    assert place in str(refused.value)
    assert says in str(refused.value)


def test_hidden_files_are_passed_over(join: Any) -> None:
    assert join({"._page.js": "this is no JavaScript"})
