"""Style sheets of a theme: no rule of theirs hides the safety banner or a panel.

Each rule is read by a CSS parser and held against a page with a banner and panels: whether its selector meets them, or
what they stand in, and whether what it declares takes them out of sight. Conditions (print, width, colours) and states
(pointer, focus) are taken to hold. What is not promised: that nothing is painted over them, that colours keep apart
that are not said together, that no animation or variable hides them, and what scripts do.
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Final
from xml.etree import ElementTree as ET

import cssselect2
import tinycss2

from builder.publish.guard import BannerError

# The page as the templates write it, with a panel wherever one may stand; what is guarded is marked with its class.
_PAGE: Final = """\
<html><body data-playbook="x"><a class="skip"/><section class="banner" role="region">{panels}</section>
<header class="top"/><main id="main" tabindex="-1">{panels}<section><article class="card" id="step-x">{panels}</article>
<article class="card ending" id="ending-x">{panels}</article><ol class="sheet-steps"><li class="card">{panels}</li></ol>
</section><div id="walk" data-ready="yes"><article class="card gate">{panels}</article></div></main>
<footer class="bottom"/></body></html>"""
_PANEL: Final = (
    '<div class="signal-panel {signal}"><p class="signal-word"><svg class="alert-symbol"/></p>'
    '<p class="signal-text"><strong/><span class="quantity"/></p></div>'
)
_SIGNALS: Final = ("danger", "warning", "caution", "notice")

_CLASSES: Final = re.compile(r"\.(?:banner|signal-panel|signal-word|signal-text)(?![\w-])")
_STATES: Final = re.compile(r":(?:hover|active|focus(?:-within|-visible)?|target|visited|link|any-link)(?![\w-])")
_NESTING: Final = ("media", "supports", "layer", "container", "scope", "starting-style")

_LEAST: Final = {"px": 6.0, "pt": 5.0, "em": 0.5, "rem": 0.5, "ch": 1.0, "ex": 1.0, "vw": 2.0, "vh": 2.0, "%": 20.0}
"""Sizes, by unit, below which nobody reads a panel: by eye, no source."""
_SIZES: Final = frozenset({"font-size", "height", "max-height", "width", "max-width", "inline-size", "block-size"}) | {
    *("max-inline-size", "max-block-size", "zoom", "line-height")
}
_WORDS: Final = {
    "display": {"none"},
    "visibility": {"hidden", "collapse"},
    "content-visibility": {"hidden"},
    "position": {"absolute", "fixed"},
    "color": {"transparent"},
    "-webkit-text-fill-color": {"transparent"},
}
"""Words that hide, by property."""
_NONE_ONLY: Final = frozenset({"transform", "translate", "scale", "rotate", "clip", "clip-path", "filter", "mask"}) | {
    *("mask-image", "-webkit-mask", "-webkit-mask-image")
}
"""Properties that nothing but their absence keeps from hiding."""
_AWAY: Final = re.compile(r"(?:margin|inset|top|left|right|bottom|text-indent|z-index)(?:-\w+)*\Z")
"""Properties that move things off the page, or below others, where they are negative."""
_FAINT: Final = 0.6
"""Opacity below which text of 4.5:1 would fall far below that: by eye, no source."""


def refuse_hiding_styles(name: str, css: str) -> None:
    """Look for rules of a style sheet that hide the banner or its panels.

    Raises:
        BannerError: there is one.
    """
    sheet = tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True)
    for selector, declarations in _rules(sheet, ""):
        if any(map(_hides, declarations)) and _meets(selector):
            raise BannerError(f"{name}: `{' '.join(selector.split())}` hides the safety banner or its panels")


def _rules(nodes: list[Any], within: str) -> Iterator[tuple[str, list[Any]]]:
    """The rules of a sheet with their declarations, those within others and within conditions included."""
    for node in nodes:
        if node.type == "at-rule" and node.lower_at_keyword in _NESTING and node.content is not None:
            inner = tinycss2.parse_blocks_contents(node.content, skip_comments=True, skip_whitespace=True)
            own = [one for one in inner if one.type == "declaration"]
            if own and within:
                yield within, own
            yield from _rules(inner, within)
        elif node.type == "qualified-rule":
            selector = _in_full(tinycss2.serialize(node.prelude).strip(), within)
            inner = tinycss2.parse_blocks_contents(node.content, skip_comments=True, skip_whitespace=True)
            yield selector, [one for one in inner if one.type == "declaration"]
            yield from _rules([one for one in inner if one.type != "declaration"], selector)


def _in_full(selector: str, within: str) -> str:
    """A selector as it counts within a rule around it."""
    if not within:
        return selector
    return selector.replace("&", f":is({within})") if "&" in selector else f":is({within}) :is({selector})"


def _meets(selector: str) -> bool:
    """Whether a selector meets the banner, a panel, or what these stand in; an unread one, if it names them."""
    try:
        compiled = cssselect2.compile_selector_list(_STATES.sub(":not(droplight)", selector))
    except cssselect2.SelectorError:
        return bool(_CLASSES.search(selector))
    plain = [one for one in compiled if one.pseudo_element is None]
    met = any(one.test(element) for one in plain for element in _guarded())
    return met or (bool(plain) and bool(_CLASSES.search(_subject(selector))))


def _subject(selector: str) -> str:
    """The last parts of the selectors of a list: what is styled by them, whatever state it stands in."""
    without = re.sub(r":(?:not|has|is|where)\([^()]*\)", "", selector)
    return " , ".join(re.split(r"[\s>+~]+", one.strip())[-1] for one in without.split(","))


@lru_cache(maxsize=1)
def _guarded() -> tuple[cssselect2.ElementWrapper, ...]:
    """The banner, the panels and what is in them, and everything that these stand in."""
    panels = "".join(_PANEL.format(signal=signal) for signal in _SIGNALS)
    root = cssselect2.ElementWrapper.from_html_root(ET.fromstring(_PAGE.format(panels=panels)))  # noqa: S314 - our own
    return tuple(_below(root)) if root else ()


def _below(element: cssselect2.ElementWrapper) -> Iterator[cssselect2.ElementWrapper]:
    """Elements from here down that are a panel, are in one, or hold one."""
    inner = [found for child in element.iter_children() for found in _below(child)]
    if inner or _is_in_panel(element) or "banner" in element.classes:
        yield element
        yield from inner


def _is_in_panel(element: cssselect2.ElementWrapper) -> bool:
    return "signal-panel" in element.classes or (element.parent is not None and _is_in_panel(element.parent))


def _hides(declaration: Any) -> bool:
    """Whether a declaration takes what it is about out of sight."""
    name = declaration.lower_name
    tokens = [token for token in declaration.value if token.type not in ("whitespace", "comment")]
    words = {token.lower_value for token in tokens if token.type == "ident"}
    numbers = [token for token in tokens if token.type in ("number", "percentage", "dimension")]
    if words & _WORDS.get(name, set()):
        return True
    if name in _NONE_ONLY:
        return not words & {"none", "auto", "inherit", "initial", "unset", "revert"}
    if name in ("opacity", "fill-opacity"):
        return any(_share(token) < _FAINT for token in numbers)
    if name in _SIZES:
        return any(_is_too_small(token, name) for token in numbers)
    return bool(_AWAY.match(name)) and any(token.value < 0 for token in numbers)


def _share(token: Any) -> float:
    return float(token.value) / (100 if token.type == "percentage" else 1)


def _is_too_small(token: Any, name: str) -> bool:
    if token.type == "number":
        return bool(token.value < (0.5 if name in ("zoom", "line-height") else 1))
    unit = "%" if token.type == "percentage" else token.lower_unit
    return bool(token.value < _LEAST.get(unit, 0.0) or token.value <= 0)
