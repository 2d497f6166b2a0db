"""Ways to disguise a word that calls for a hazard, and to imitate a warning of the site; and a library with a place for
them in every text field."""

from typing import Any, Final

Plain = dict[str, Any]

WORDS: Final = {
    "plain": "Jack up the car",
    "capitals": "JACK UP THE CAR",
    "hyphens": "Put it on axle-stands",
    "full stops": "Put it on axle.stands",
    "no-break space": "Put it on axle\u00a0stands",
    "thin space": "Put it on axle\u2009stands",
    "letters apart": "j a c k it",
    "letters apart by full stops": "j.a.c.k it",
    "joined": "jackthecar",
    "drawn out": "jaaaack it",
    "apostrophe within": "ja'ck it",
    "zero-width space": "ja\u200bck it",
    "zero-width joiner": "ja\u200dck it",
    "soft hyphen": "ja\u00adck it",
    "word joiner": "ja\u2060ck it",
    "tag character": "ja\U000e0061ck it",
    "Hangul filler": "ja\u3164ck it",
    "Cyrillic": "j\u0430\u0441\u043a it",
    "Greek": "\u03f3\u03b1\u03f2\u03ba it",
    "full width": "ｊａｃｋ it",
    "mathematical": "𝐣𝐚𝐜𝐤 it",
    "circled": "ⓙⓐⓒⓚ it",
    "small capitals": "ᴊᴀᴄᴋ it",
    "accents": "jáçk it",
    "combining marks": "ja\u0301c\u0327k it",
    "figures": "j4ck it",
    "signs": "j@ck it",
    "capital i for l": "Iift the car",
    "rn for m": "up on the rarnps",
    "slip": "raise the vehiicle",
    "place between": "raise, with care and a helper, the front of the car",
    "timing, spaced": "the t i m i n g belt off",
    "timing, figures": "the t1ming b3lt off",
}
"""Texts that call for a hazard, however they are written: English, as the library is."""

IMITATIONS: Final = {
    "signal word": "DANGER hot",
    "another": "WARNING: hot",
    "a third": "CAUTION hot",
    "notice": "NOTICE hot",
    "German": "GEFAHR heiß",
    "German, another": "VORSICHT heiß",
    "German, not the theme's": "ACHTUNG heiß",
    "in brackets": "[DANGER] hot",
    "in dashes": "--- DANGER --- hot",
    "spaced": "D A N G E R hot",
    "full stops": "D.A.N.G.E.R. hot",
    "alert symbol": "⚠ hot",
    "alert symbol as a picture": "⚠\ufe0f hot",
    "other sign": "⛔ hot",
    "symbol and word": "⚠ WARNING hot",
    "behind a picture": "🔧 DANGER hot",
    "full width": "ＤＡＮＧＥＲ hot",
    "mathematical": "𝐃𝐀𝐍𝐆𝐄𝐑 hot",
    "squared": "🅳🅰🅽🅶🅴🆁 hot",
    "regional indicators": "🇩 🇦 🇳 🇬 🇪 🇷 hot",
    "small capitals": "ᴅᴀɴɢᴇʀ hot",
    "Cyrillic": "D\u0410NG\u0415R hot",
    "accents": "DÁNGER hot",
    "figures": "WARN1NG hot",
    "slip": "DANNGER hot",
    "zero-width": "DAN\u200bGER hot",
    "soft hyphen": "DAN\u00adGER hot",
    "left-to-right mark": "\u200eDANGER hot",
    "turned round": "\u202eREGNAD\u202c hot",
    "isolated": "\u2067hot\u2069 it is",
    "invisible only": "hot \u2063 it is",
    "private use": "hot \ue000 it is",
    "tag characters": "hot \U000e0064\U000e0061 it is",
    "object replacement": "hot \ufffc it is",
    "piled marks": "ho\u0300\u0301\u0302\u0303\u0304\u0305\u0306t it is",
    "enclosing triangle": "!\u20e4 hot",
    "enclosing prohibition": "P\u20e0 hot",
    "joined": "DANGERHOT it is",
    "mixed case": "DANGEr hot",
    "other words": "LEBENSGEFAHR heiß",
}
"""Texts that look other than they are, or like a warning of the site."""

MARKUP: Final = {
    "panel": '<div class="signal-panel danger"><p class="signal-word">DANGER</p><p class="signal-text">Hot</p></div>',
    "banner": '<section class="banner" role="region"><div class="signal-panel danger">x</div></section>',
    "style": "<style>.banner{display:none}</style>",
    "style of an element": '<b style="background:#b0141c">x</b>',
    "class of a fence": "```signal-panel danger\nx\n```",
    "attributes": "# x {.signal-panel .danger}",
    "container": "::: danger\nx\n:::",
    "callout": "> [!WARNING]\n> x",
    "link to the style": '[x](#x){class="signal-panel"}',
    "definition": "[//]: # (x)",
    "table": "| Danger |\n| - |\n| x |",
    "heading": "Danger\n======",
    "rule": "***\n\nx\n\n***",
    "bold": "**Danger**",
}
"""Markdown and HTML that would draw a panel elsewhere, or take one away."""


def work(text: str) -> Plain:
    return {
        "title": text,
        "do": text,
        "preconditions": [text],
        "time": "5 min",
        "mishap": {"what": text, "chance": "1%", "cost": "1"},
    }


def playbook(text: str, needs: str = "it") -> Plain:
    """A playbook that says a text in every field, and needs the entries of that name of the catalogue."""
    needed = {"tools": [needs], "parts": [needs], "access": [needs]}
    looks = {"reading": {"of": text, "unit": text}, "no_hazards": {"cold": text}, "accept": {"no-time": text}}
    results = {
        "low": {"expect": text, "range": "below 1", "next": "end"},
        "high": {"expect": text, "range": "above 1", "next": "end"},
    }
    return {
        "format": "1",
        "title": text,
        "vehicles": [text],
        "also": [text],
        "symptom": {"summary": text, "conditions": [text]},
        "preconditions": [text],
        "no_hazards": {"cold": text},
        "causes": {"one": {"name": text, "note": text}},
        "accept": {"unlisted-large": text},
        "start": "look",
        "steps": {"look": {**work(text), **needed, **looks, "results": results}},
        "endings": {"end": {**work(text), "settles": ["one"], "prove": {"trial": text, "shows": "50%"}}},
    }


def catalogue(text: str, name: str = "it") -> dict[str, Plain]:
    """Entries of one name that say a text in every field."""
    answer = {"no_hazards": {"cold": text}}
    return {
        "tools": {name: {"name": text, "note": text, **answer}},
        "parts": {name: {"name": text, "price": "1", "note": text, **answer}},
        "access": {name: {"name": text, "open": "1 min", "close": "1 min", "note": text, **answer}},
        "hazards": {
            name: {"name": text, "signal": "caution", "harm": text, "avoid": text, "words": [f"{text} w"]},
            "cold": {"name": "Cold", "signal": "caution", "harm": "Chills.", "avoid": "Wait."},
        },
        "checks": {
            name: {
                **work(text),
                **answer,
                "accept": {"no-time": text},
                "reading": {"of": text, "unit": text},
                "results": {"on": {"expect": text}},
            }
        },
        "codes": {"P0128": {"means": text, "source": text}},
    }


def settings(text: str) -> Plain:
    """Settings that say a text in every field."""
    return {
        "title": text,
        "language": "en",
        "currency": "EUR",
        "labour_rate": "60",
        "notice": text,
        "areas": {"area": text, "other": {"title": text}},
    }
