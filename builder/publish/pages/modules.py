"""Modules of browser scripts: what they import and export, and their code without what only readers need.

A module becomes the body of a function, so its imports turn into constants and its exports into what it returns:

    import { h, all as every } from "../show/dom.js";   →   const{h,all:every}=droplight.dom;
    export function bar() { … }                         →   function bar(){…}   and   return{bar};

Comments and blanks go; names, strings and templates stay as they are written, so that an error in a browser's console
can be found in the source. Line breaks stay wherever they may end a statement.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from posixpath import dirname, normpath
from typing import Final

import tree_sitter_javascript
from tree_sitter import Language, Node, Parser

GLOBAL: Final = "droplight"
HEAD: Final = f'"use strict";var {GLOBAL}=globalThis.{GLOBAL}||{{}};\n'
"""How every script of the site begins."""

TAKEN: Final = frozenset({"take", "texts"})
"""What stands in the global beside modules: how data files hand over, and the texts in another language."""

_NAME: Final = re.compile(r"[a-z][A-Za-z0-9]*")
_WHOLE: Final = frozenset({"string", "template_string"})
_FUNCTIONS: Final = frozenset(
    {"function_declaration", "function_expression", "arrow_function", "method_definition", "class_static_block"}
)
_GOES_ON_AFTER: Final = frozenset(["{", "(", "[", ",", "=>", "=", "?", ":", "&&", "||", "??", "+", "*", "..."])
_GOES_ON_BEFORE: Final = frozenset(["}", ")", "]", ",", ";", ".", "?.", "?", ":", "&&", "||", "??"])


class ModuleError(Exception):
    """A module cannot be read or joined; begins with its line and column."""


@dataclass(frozen=True, slots=True)
class Import:
    """``path`` is the module's, from the folder of scripts; ``names`` are those that it must export."""

    path: str
    names: tuple[str, ...]
    place: str


@dataclass(frozen=True, slots=True)
class Module:
    """``body`` is its code, ``returns`` the object of its exports, both as JavaScript."""

    name: str
    imports: tuple[Import, ...]
    exports: tuple[str, ...]
    body: str
    returns: str


@dataclass(frozen=True, slots=True)
class _Token:
    text: str
    start: int
    end: int


@lru_cache(maxsize=512)
def module_of(path: str, source: bytes) -> Module:
    """The module in a file, by its path from the folder of scripts.

    Raises:
        ModuleError: it is no JavaScript, or does what only a browser's own modules can.
    """
    name = path.rpartition("/")[2].removesuffix(".js")
    if not _NAME.fullmatch(name) or name in TAKEN:
        raise ModuleError(f"1:1: `{name}` cannot be the name of a module: write a word that begins with a small letter")
    try:
        source.decode()
    except UnicodeDecodeError as error:
        raise ModuleError(f"{source.count(10, 0, error.start) + 1}:1: this is not UTF-8") from error
    root = Parser(Language(tree_sitter_javascript.language())).parse(source).root_node
    if fault := next(_faults(root), None):
        raise ModuleError(f"{_place(fault)}: this is no JavaScript: `{_line(source, fault)}`")
    imports: list[Import] = []
    exports: dict[str, str] = {}
    tokens: list[_Token] = []
    for node in root.children:
        if node.type == "import_statement":
            found, code = _import(path, node)
            imports.append(found)
            tokens.append(_Token(code, node.start_byte, node.end_byte))
        elif node.type == "export_statement":
            exports |= _exports(node)
            declared = node.child_by_field_name("declaration")
            tokens += _tokens(declared) if declared else []
        else:
            tokens += _tokens(node)
    returned = ",".join(own if own == outer else f"{outer}:{own}" for outer, own in exports.items())
    return Module(name, tuple(imports), tuple(exports), _joined(tokens, source), f"{{{returned}}}")


def _faults(node: Node) -> Iterator[Node]:
    """What the parser could not read, the first and innermost first."""
    if not node.has_error:
        return
    for child in node.children:
        yield from _faults(child)
    if node.is_error or node.is_missing:
        yield node


def _place(node: Node) -> str:
    return f"{node.start_point.row + 1}:{node.start_point.column + 1}"


def _line(source: bytes, node: Node) -> str:
    return source.splitlines()[node.start_point.row].decode(errors="replace").strip()[:80]


def _text(node: Node) -> str:
    return (node.text or b"").decode()


def _import(path: str, node: Node) -> tuple[Import, str]:
    """What an import statement names, and the constant that takes its place."""
    source = node.child_by_field_name("source")
    address = _text(source)[1:-1] if source else ""
    if not address.startswith(".") or not address.endswith(".js"):
        raise ModuleError(f"{_place(node)}: write where the module is from here, as in `./name.js`, not `{address}`")
    target = normpath(f"{dirname(path)}/{address}").lstrip("/")
    module = f"{GLOBAL}.{target.rpartition('/')[2].removesuffix('.js')}"
    clause = next((child for child in node.children if child.type == "import_clause"), None)
    if clause is None:
        return Import(target, (), _place(node)), ""
    what = clause.named_children[0]
    if what.type == "namespace_import":
        return Import(target, (), _place(node)), f"const {_text(what.named_children[0])}={module};"
    if what.type != "named_imports":
        raise ModuleError(f"{_place(node)}: name what is imported, as in `import {{ name }}`; there is no default")
    pairs = [_pair(child) for child in what.named_children if child.type == "import_specifier"]
    wanted = ",".join(outer if outer == own else f"{outer}:{own}" for outer, own in pairs)
    return Import(target, tuple(outer for outer, _ in pairs), _place(node)), f"const{{{wanted}}}={module};"


def _pair(specifier: Node) -> tuple[str, str]:
    """Of ``one as other``: both names; of ``one``: it twice."""
    names = [_text(child) for child in specifier.named_children if child.type != "comment"]
    return names[0], names[-1]


def _exports(node: Node) -> dict[str, str]:
    """What an export statement gives: names within the module by names outside."""
    declared = node.child_by_field_name("declaration")
    clause = next((child for child in node.children if child.type == "export_clause"), None)
    if clause and not node.child_by_field_name("source"):
        pairs = [_pair(child) for child in clause.named_children if child.type == "export_specifier"]
        return {outer: own for own, outer in pairs}
    if declared is None or any(child.type == "default" for child in node.children):
        raise ModuleError(f"{_place(node)}: export a function, a class or a constant by its name")
    if name := declared.child_by_field_name("name"):
        return {_text(name): _text(name)}
    names = [child.child_by_field_name("name") for child in declared.named_children]
    if not _text(declared).startswith("const") or not all(name and name.type == "identifier" for name in names):
        raise ModuleError(f"{_place(node)}: only constants with one name each can be exported, since exports stay")
    return {_text(name): _text(name) for name in names if name}


def _tokens(node: Node, inside: bool = False) -> Iterator[_Token]:
    """What stands in a piece of code, without comments; a string or a template is one piece."""
    if node.type in ("import", "meta_property") or (node.type == "await_expression" and not inside):
        raise ModuleError(f"{_place(node)}: `{_text(node)}` works in a browser's own modules only")
    if node.type == "comment":
        return
    if node.child_count == 0 or node.type in _WHOLE:
        yield _Token(_text(node), node.start_byte, node.end_byte)
        return
    inside = inside or node.type in _FUNCTIONS
    for child in node.children:
        yield from _tokens(child, inside)


def _joined(tokens: list[_Token], source: bytes) -> str:
    """The tokens with as little between them as keeps their meaning."""
    pieces: list[str] = []
    before: _Token | None = None
    for token in tokens:
        if not token.text:
            continue
        if before is not None:
            pieces.append(_gap(before.text, token.text, source[before.end : token.start]))
        pieces.append(token.text)
        before = token
    return "".join(pieces)


def _gap(before: str, after: str, gap: bytes) -> str:
    if b"\n" in gap and before not in _GOES_ON_AFTER and before[-1] != ";" and after not in _GOES_ON_BEFORE:
        return "\n"
    if gap and _is_word(before[-1]) and _is_word(after[0]):
        return " "
    # `a - -b`, `a / /b/`, and what would begin an HTML comment, which plain scripts know.
    return " " if gap and before[-1] in "+-/<" and after[0] in "+-/*!>" else ""


def _is_word(sign: str) -> bool:
    return sign.isalnum() or sign in "_$#\\"
