"""Modules of browser scripts: what they import and export, and code that means the same in less room."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
import tree_sitter_javascript
from tree_sitter import Language, Node, Parser

from builder.publish.pages.modules import ModuleError, module_of
from builder.publish.pages.theme import theme_folder

SCRIPTS: Final = theme_folder() / "scripts"
PARSER: Final = Parser(Language(tree_sitter_javascript.language()))


def body(code: str) -> str:
    return module_of("x.js", code.encode()).body


# --- What a module says of itself


def test_a_module_is_named_by_its_file_and_knows_what_it_takes_and_gives() -> None:
    code = """
        import { h, all as every } from "../show/dom.js";
        import * as site from "./site.js";
        import "./effects.js";
        const own = 1;
        export const one = 1, two = 2;
        export async function three() { return own; }
        export class Four {}
        export { own, own as other };
    """
    module = module_of("room/thing.js", code.encode())
    assert module.name == "thing"
    assert [(one.path, one.names, one.place) for one in module.imports] == [
        ("show/dom.js", ("h", "all"), "2:9"),
        ("room/site.js", (), "3:9"),
        ("room/effects.js", (), "4:9"),
    ]
    assert module.exports == ("one", "two", "three", "Four", "own", "other")
    assert module.returns == "{one,two,three,Four,own,other:own}"
    assert module.body.startswith(
        "const{h,all:every}=droplight.dom;const site=droplight.site;const own=1;const one=1,two"
    )
    assert "export" not in module.body
    assert "effects" not in module.body


@pytest.mark.parametrize(
    ("code", "place", "says"),
    [
        ("const a = ;", "1:", "no JavaScript"),
        ("const a = 1;\nif (a {}\n", "2:", "no JavaScript"),
        ("\nimport a from './a.js';", "2:1", "name what is imported"),
        ("import a, { b } from './a.js';", "1:1", "name what is imported"),
        ("import { a } from 'a';", "1:1", "`./name.js`, not `a`"),
        ("import a, * as b from './a.js';", "1:1", "name what is imported"),
        ("import { a } from 'a.js';", "1:1", "`./name.js`, not `a.js`"),
        ("import { a } from './a';", "1:1", "`./name.js`, not `./a`"),
        ("export default 1;", "1:1", "by its name"),
        ("export default function a() {}", "1:1", "by its name"),
        ("export * from './a.js';", "1:1", "by its name"),
        ("export { a } from './a.js';", "1:1", "by its name"),
        ("export let a = 1;", "1:1", "only constants"),
        ("export var a = 1;", "1:1", "only constants"),
        ("export const { a } = {};", "1:1", "only constants"),
        ("const a = () => import('./a.js');", "1:17", "`import` works in a browser's own modules only"),
        ("f(import.meta.url);", "1:3", "`import.meta` works"),
        ("const a = await f();", "1:11", "`await f()` works"),
    ],
)
def test_what_a_plain_script_cannot_do_is_refused_with_its_place(code: str, place: str, says: str) -> None:
    with pytest.raises(ModuleError) as refused:
        module_of("x.js", code.encode())
    assert str(refused.value).startswith(place)
    assert says in str(refused.value)


def test_await_within_a_function_is_kept() -> None:
    assert body("const a = async () => { await f(); };") == "const a=async()=>{await f();};"


@pytest.mark.parametrize("path", ["a-b.js", "room/Thing.js", "1.js", "take.js", "texts.js"])
def test_a_name_that_cannot_stand_in_the_global_is_refused(path: str) -> None:
    with pytest.raises(ModuleError, match=r"1:1: .* cannot be the name of a module"):
        module_of(path, b"")


def test_what_is_not_utf_8_is_refused() -> None:
    with pytest.raises(ModuleError, match="2:1: this is not UTF-8"):
        module_of("x.js", b"const a = 1;\nconst b = '\xff';")


# --- In less room


@pytest.mark.parametrize(
    ("code", "short"),
    [
        ("/* a */ const a = 1; // b\n/** c */\nconst b = 2;", "const a=1;const b=2;"),
        ("const a = `x ${b ? `:  ${c}` : ''}  // no\n   y`;", "const a=`x ${b ? `:  ${c}` : ''}  // no\n   y`;"),
        ("const a = 'x  //  y', b = \"/* z */\";", "const a='x  //  y',b=\"/* z */\";"),
        ("const a = /[/]  \\/\\*/gu.test(b) / c / d;", "const a=/[/]  \\/\\*/gu.test(b)/c/d;"),
        ("const a = b / /c/.exec(d).index;", "const a=b/ /c/.exec(d).index;"),
        ("const a = b + +c - -d + ++e - --f;", "const a=b+ +c- -d+ ++e- --f;"),
        ("const a = b < !--c;", "const a=b< !--c;"),
        ("while (a-- > 0) b();", "while(a-- >0)b();"),
        ("return_\n(a)\nlet b\n++c", "return_\n(a)\nlet b\n++c"),
        ("const f = () => {}\nconst g = 1", "const f=()=>{}\nconst g=1"),
        ("if (a) {\n  b();\n}\nelse c();", "if(a){b();}\nelse c();"),
        ("const ä = typeof ö, ü = void 0;", "const ä=typeof ö,ü=void 0;"),
        ("class A { #b = 1; static c() { return this.#b in d; } }", "class A{#b=1;static c(){return this.#b in d;}}"),
        ("a?.b ?? c?.[0] ? .5 : 1..toFixed();", "a?.b??c?.[0]?.5:1..toFixed();"),
    ],
)
def test_blanks_and_comments_go_and_the_meaning_stays(code: str, short: str) -> None:
    assert body(code) == short


def meaning(node: Node) -> Any:
    """A piece of code as a tree, without comments and places."""
    if node.type in ("string", "template_string"):
        return node.text
    children = [child for child in node.children if child.type != "comment"]
    return (node.type, [meaning(child) for child in children]) if children else (node.type, node.text)


def statements(code: bytes) -> Iterator[Node]:
    for node in PARSER.parse(code).root_node.children:
        declared = node.child_by_field_name("declaration") if node.type == "export_statement" else node
        if declared and declared.type not in ("import_statement", "comment"):
            yield declared


@pytest.mark.parametrize("path", sorted(SCRIPTS.rglob("*.js")), ids=lambda path: path.relative_to(SCRIPTS).as_posix())
def test_every_module_of_the_theme_means_the_same(path: Path) -> None:
    source = path.read_bytes()
    module = module_of(path.relative_to(SCRIPTS).as_posix(), source)
    short = list(map(meaning, statements(module.body.encode())))
    imported = module.body.count("=droplight.")
    assert short[imported:] == list(map(meaning, statements(source)))
    assert len(short) > imported
    assert len(module.body) < len(source)


@pytest.mark.parametrize("path", sorted(SCRIPTS.rglob("*.js")), ids=lambda path: path.relative_to(SCRIPTS).as_posix())
def test_no_script_is_long(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 300
