"""What ANSI Z535.6 and ISO 3864 ask of a safety message, point by point, of the panels that pages show.

Sources: ANSI Z535.6-2011 (R2017), Product Safety Information in Product Manuals; ANSI Z535.4-2011 for the look of
signal words and Z535.1 for the colours; ISO 3864-1:2011 (contrast colours) and ISO 3864-2:2016 (severity panels);
WCAG 2.2, success criterion 1.4.3 (contrast). Points and clauses are from memory, the ranges of hue by eye: the
standards are not free to read.
"""

import colorsys
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final, NamedTuple
from xml.etree import ElementTree as ET

import html5lib
import pytest
import tinycss2

from builder.publish.pages.theme import theme_folder
from builder.read.hazards import BUILT_IN, SIGNALS
from builder.read.records import Hazard, Library
from tests.demo import demo_library


class Look(NamedTuple):
    """How a signal word is to look: the range of hue of its ground in degrees, its letters, symbol or none."""

    hue: tuple[float, float]
    letters: str
    symbol: bool
    italic: bool
    means: str


LOOKS: Final[Mapping[str, Look]] = {
    # ANSI Z535.4, 7.2 and 8; ISO 3864-2, 5: red with white, orange with black, yellow with black, blue with white.
    "danger": Look((345, 375), "white", True, False, "Will kill or seriously injure"),
    "warning": Look((20, 42), "black", True, False, "Could kill or seriously injure"),
    "caution": Look((45, 65), "black", True, False, "Could injure you slightly or moderately"),
    # ANSI Z535.4, 4.14: no symbol, italic letters, since nobody gets hurt.
    "notice": Look((195, 240), "white", False, True, "no injury"),
}

POINTS: Final[Mapping[str, tuple[str, Callable[["Panel"], bool]]]] = {
    "signal word first": ("ANSI Z535.6, 7: the signal word stands above the message", lambda panel: panel.word_first),
    "signal word in capitals": ("ANSI Z535.4, 8: in upper case", lambda panel: panel.word.isupper()),
    "signal word of its hazard": (
        "ANSI Z535.6, 4: by how likely and how bad the harm is",
        lambda panel: panel.word.lower() == panel.signal,
    ),
    "safety alert symbol": (
        "ANSI Z535.6, 6: before the word where somebody can be hurt, never with NOTICE",
        lambda panel: panel.has_symbol == LOOKS[panel.signal].symbol,
    ),
    "what the hazard is": ("ANSI Z535.6, 8: its nature", lambda panel: panel.hazard.name in panel.text),
    "what it does": ("ANSI Z535.6, 8: its consequences", lambda panel: squeezed(panel.hazard.harm) in panel.plain),
    "how to avoid it": ("ANSI Z535.6, 8: how to avoid it", lambda panel: squeezed(panel.hazard.avoid) in panel.plain),
    "in that order": (
        "ANSI Z535.6, 8: what, what it does, what to do",
        lambda panel: (
            panel.plain.index(squeezed(panel.hazard.name))
            < panel.plain.index(squeezed(panel.hazard.harm))
            < panel.plain.index(squeezed(panel.hazard.avoid))
        ),
    ),
}


class Panel(NamedTuple):
    """A panel of the safety page, and the hazard that it is about."""

    hazard: Hazard
    signal: str
    word: str
    text: str
    word_first: bool
    has_symbol: bool

    @property
    def plain(self) -> str:
        """Its text without white space and without figures in other units."""
        return squeezed(self.text)


def squeezed(text: str) -> str:
    return "".join(text.split())


@pytest.fixture(scope="module")
def demo() -> Library:
    return demo_library()


@pytest.fixture(scope="module")
def panels(site_dir: Path, demo: Library) -> list[Panel]:
    """The panels of the safety page, one for each hazard in use."""
    root = html5lib.parse((site_dir / "safety.html").read_text(encoding="utf-8"), namespaceHTMLElements=False)
    found = []
    for name, hazard in demo.catalogue.hazards.items():
        panel = root.find(f".//div[@id='hazard-{name}']/div")
        assert panel is not None, name
        word, text = list(panel)
        found.append(
            Panel(
                hazard,
                (panel.get("class") or "").split()[-1],
                "".join(word.itertext()).strip(),
                "".join(text.itertext()),
                word.get("class") == "signal-word",
                any((one.get("class") or "") == "alert-symbol" for one in word.iter()),
            )
        )
    return found


@pytest.mark.parametrize("point", POINTS)
def test_every_panel_meets_the_point(panels: list[Panel], point: str) -> None:
    source, holds = POINTS[point]
    assert len(panels) > 10
    assert [panel.hazard.name for panel in panels if not holds(panel)] == [], source


def test_signal_words_go_from_the_severest_down() -> None:
    """ANSI Z535.6, 4: danger, warning, caution for people; notice for things."""
    assert tuple(LOOKS) == SIGNALS


def test_the_safety_page_says_what_each_word_means(site_dir: Path) -> None:
    root = html5lib.parse((site_dir / "safety.html").read_text(encoding="utf-8"), namespaceHTMLElements=False)
    meanings = {"".join(row[0].itertext()).lower(): "".join(row[1].itertext()) for row in root.findall(".//dl/div")}
    for signal, look in LOOKS.items():
        assert look.means in meanings[signal]


def test_what_can_kill_is_a_danger_or_a_warning() -> None:
    """ANSI Z535.6, 4: neither CAUTION nor NOTICE where somebody can be killed or seriously injured."""
    assert {entry["signal"] for entry in BUILT_IN.values()} <= {"danger", "warning"}


@pytest.mark.parametrize("signal", LOOKS)
def test_the_severest_panel_of_a_page_comes_first(site_dir: Path, signal: str) -> None:
    """ANSI Z535.6, 8: grouped messages go by severity; no panel of a banner comes after one that is less severe."""
    seen = 0
    for path in sorted(site_dir.glob("playbook/*.html")):
        banner = re.search(r'<section class="banner".*?</section>', path.read_text(encoding="utf-8"), re.DOTALL)
        signals = re.findall(r'class="signal-panel (\w+)"', banner[0]) if banner else []
        seen += bool(signals)
        after = signals[signals.index(signal) :] if signal in signals else []
        assert all(SIGNALS.index(one) >= SIGNALS.index(signal) for one in after), path.name
    assert seen > 5


@pytest.fixture(scope="module")
def colours() -> dict[str, dict[str, Any]]:
    """What the style sheet declares for each signal word."""
    rules: dict[str, dict[str, Any]] = {}
    for path in sorted((theme_folder() / "assets").glob("*.css")):
        sheet = tinycss2.parse_stylesheet(path.read_text(encoding="utf-8"), skip_comments=True, skip_whitespace=True)
        for rule in sheet:
            if rule.type == "qualified-rule":
                selectors = tinycss2.serialize(rule.prelude)
                for signal in LOOKS:
                    if f".{signal} > .signal-word" in selectors:
                        declared = tinycss2.parse_blocks_contents(
                            rule.content, skip_comments=True, skip_whitespace=True
                        )
                        said = {one.name: tinycss2.serialize(one.value).strip() for one in declared}
                        rules.setdefault(signal, {}).update(said)
    return rules


def channels(colour: str) -> tuple[float, float, float]:
    digits = colour.removeprefix("#")
    full = digits if len(digits) == 6 else "".join(2 * digit for digit in digits)
    red, green, blue = (int(full[at : at + 2], 16) / 255 for at in (0, 2, 4))
    return red, green, blue


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels(colour)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("signal", LOOKS)
def test_the_ground_of_a_signal_word_has_its_colour(colours: dict[str, dict[str, Any]], signal: str) -> None:
    hue = colorsys.rgb_to_hsv(*channels(colours[signal]["background"]))[0] * 360
    low, high = LOOKS[signal].hue
    assert low <= hue <= high or low <= hue + 360 <= high


@pytest.mark.parametrize("signal", LOOKS)
def test_the_letters_of_a_signal_word_have_their_contrast_colour(
    colours: dict[str, dict[str, Any]], signal: str
) -> None:
    """ISO 3864-1, table 1: white on red and blue, black on yellow (and on orange, ISO 3864-2)."""
    ground, letters = colours[signal]["background"], colours[signal]["color"]
    assert channels(letters) == ((1, 1, 1) if LOOKS[signal].letters == "white" else (0, 0, 0))
    one, other = sorted((luminance(ground), luminance(letters)))
    assert (other + 0.05) / (one + 0.05) >= 4.5
    assert (colours[signal].get("font-style") == "italic") == LOOKS[signal].italic


def test_a_panel_stands_in_the_markup_before_what_to_do(site_dir: Path) -> None:
    """ANSI Z535.6, 5: messages stand before the step that they are about."""
    seen = 0
    for path in sorted(site_dir.glob("playbook/*.html")):
        root: ET.Element = html5lib.parse(path.read_text(encoding="utf-8"), namespaceHTMLElements=False)
        for card in root.iter("article"):
            parts = [(one.get("class") or "").split(" ")[0] for one in card]
            if "signal-panel" in parts and "do" in parts:
                seen += 1
                assert max(i for i, part in enumerate(parts) if part == "signal-panel") < parts.index("do"), path.name
    assert seen > 20
