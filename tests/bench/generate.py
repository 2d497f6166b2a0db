"""Writes a library of any size for the speed measurements: ``generate.py DIR COUNT``.

The same count gives the same bytes. A playbook has twelve steps, five causes and seven endings, and texts as long as
those of the demo library. Steps grow dearer one by one, as good advice has it.
"""

import random
import sys
from pathlib import Path
from typing import Any, Final

import yaml

AREAS: Final = ("cooling", "starting", "engine", "brakes", "steering", "wheels", "cabin", "electrics")
STEPS: Final = 12
CAUSES: Final = 5
TOOLS: Final = 24
USUAL_TOOLS: Final = 6
PARTS: Final = 60
JOBS: Final = 10
CHAIN: Final = 5
"""So many playbooks hand over to one another before the last one does not."""

SIGNALS: Final = ("warning", "caution", "notice")

THINGS: Final = (
    "blower", "condenser", "coolant pump", "door lock", "fuse holder", "heater valve", "intake hose", "lamp holder",
    "lid switch", "mirror motor", "pedal sensor", "pressure switch", "relay socket", "seat heater", "solenoid",
    "speed sensor", "starter relay", "tank vent", "throttle flap", "wiper motor",
)  # fmt: skip
SIGNS: Final = (
    "clicks and stops", "cuts out over bumps", "drops out when warm", "hums with the key out", "leaks overnight",
    "runs on the lowest speed only", "squeals on cold mornings", "stays dead after rain", "sticks half open",
    "works on every second try",
)  # fmt: skip
FAULTS: Final = ("Broken lead", "Corroded plug", "Leaking seal", "Seized bearing", "Worn contact")
DEEDS: Final = ("Look at", "Measure", "Swap", "Listen to", "Feel along", "Wiggle")
SENTENCES: Final = (
    "Work in daylight and take a picture before anything comes apart.",
    "A reading that wanders is as bad as one that is too low.",
    "Note the figure with the date; it is worth more next time than memory is.",
    "Push every plug home until it clicks, then tug at it *once*.",
    "Green crust on a pin means that water has been in for weeks.",
    "Compare left with right: the good side tells what normal looks like.",
    "If the lead feels stiff, follow it back to the next clip before going on.",
    "Wait ten minutes between two tries, or the second one tells nothing.",
    "A seal that has gone hard does not come back, whatever is put on it.",
    "The workshop manual gives the limits; **it** decides where it differs from this page.",
)
POINTS: Final = (
    "Key out, lamps off, doors shut.",
    "Back of the plug: look for brown plastic.",
    "Set the meter to the `20 V` range.",
    "Hold the probe still for five seconds.",
    "Move the lead by a hand's width and read again.",
    "Wipe the sleeve dry and mark its place.",
    "Turn the wheel of the valve from stop to stop.",
    "Put the clip back before the next point.",
)


class _Dumper(yaml.CSafeDumper):
    """Block style for texts of several lines; no aliases, which the format forbids."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _text(dumper: _Dumper, text: str) -> yaml.ScalarNode:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_Dumper.add_representer(str, _text)


def generate(folder: Path, count: int) -> None:
    """A library of ``count`` playbooks in a new folder."""
    _write(folder / "library.yaml", _settings())
    for name, entries in _catalogue().items():
        _write(folder / "catalogue" / f"{name}.yaml", entries)
    for number in range(count):
        _write(folder / AREAS[number % len(AREAS)] / f"{_slug(number)}.yaml", _playbook(number, count))


def _write(path: Path, content: dict[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    text = yaml.dump(content, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)
    path.write_text(text, encoding="utf-8", newline="\n")


def _slug(number: int) -> str:
    return f"playbook-{number:05}"


def _settings() -> dict[str, Any]:
    return {
        "title": "Playbooks for measuring",
        "language": "en-GB",
        "currency": "EUR",
        "labour_rate": 95,
        "owner_hour": 15,
        "least_saving": 1000,
        "areas": {area: area.capitalize() for area in AREAS},
        "site_url": "https://example.org/measure/",
        "notice": "Invented car, invented figures.",
    }


def _catalogue() -> dict[str, dict[str, Any]]:
    tools = {f"tool-{n}": {"name": f"Tool {n}", "price": f"{10 + n}-{20 + 2 * n}"} for n in range(TOOLS)}
    for tool in list(tools.values())[:USUAL_TOOLS]:
        tool["usual"] = True
    return {
        "tools": tools,
        "parts": {f"part-{n}": {"name": f"Part {n}", "price": f"{5 + 2 * n}-{9 + 5 * n}"} for n in range(PARTS)},
        "access": {
            f"job-{n}": {
                "name": f"Cover {n} off",
                "open": f"{5 + n}-{9 + 2 * n} min",
                "close": f"{5 + n} min",
                "hazards": [f"hazard-{n}"] if n < len(SIGNALS) else [],
            }
            for n in range(JOBS)
        },
        "hazards": {
            f"hazard-{n}": {
                "name": f"Hazard {n}",
                "signal": signal,
                "harm": "It burns or pinches whoever reaches in too early.",
                "avoid": "Wait until it is cold and still. Wear gloves.",
                "words": [f"glowing part {n}"],
            }
            for n, signal in enumerate(SIGNALS)
        },
    }


def _playbook(number: int, count: int) -> dict[str, Any]:
    chooser = random.Random(number)
    thing = THINGS[number % len(THINGS)]
    sign = SIGNS[number // len(THINGS) % len(SIGNS)]
    return {
        "format": 1,
        "accept": {"dear-playbook": "Nobody follows it."},
        "title": f"{thing.capitalize()} {number} {sign}",
        "vehicles": ["Tamarin 1.6"],
        "symptom": {
            "summary": f"The {thing} {sign}. {chooser.choice(SENTENCES)}",
            "conditions": ["any temperature", "engine on or off"],
            "codes": [f"P{number % 4096:04X}"],
        },
        "preconditions": ["Battery above 12.4 V"],
        "causes": _causes(thing, chooser),
        "start": "step-1",
        "steps": {f"step-{place}": _step(place, thing, number, count, chooser) for place in range(1, STEPS + 1)},
        "endings": _endings(thing, number, chooser),
    }


def _causes(thing: str, chooser: random.Random) -> dict[str, Any]:
    shares = (chooser.randint(33, 42), chooser.randint(22, 26), chooser.randint(13, 17), chooser.randint(8, 10), 5)
    faults = zip(FAULTS, shares, strict=True)
    return {
        f"cause-{n}": {"name": f"{fault} of the {thing}", "share": f"{share}%"}
        for n, (fault, share) in enumerate(faults)
    }


def _step(place: int, thing: str, number: int, count: int, chooser: random.Random) -> dict[str, Any]:
    low = 3 + place + chooser.randint(0, 2)
    step: dict[str, Any] = {
        "title": f"{chooser.choice(DEEDS)} the {thing}, round {place}",
        "do": _prose(thing, number, count, chooser),
        "time": f"{low}-{2 * low} min",
        "tools": [f"tool-{place % USUAL_TOOLS}", f"tool-{USUAL_TOOLS + place + number % USUAL_TOOLS}"],
        "results": _results(place, number, count, chooser),
    }
    if place % 3 == 0:
        step["access"] = [f"job-{(number + place // 3) % JOBS}"]
    if place % 4 == 0:
        step["hazards"] = [f"hazard-{chooser.randrange(len(SIGNALS))}"]
        step["cost"] = f"0-{chooser.randint(2, 9)}"
    return step


def _prose(thing: str, number: int, count: int, chooser: random.Random) -> str:
    first, second, third = chooser.sample(SENTENCES, 3)
    points = "".join(f"{n}. {point}\n" for n, point in enumerate(chooser.sample(POINTS, 4), 1))
    other = chooser.randrange(count)
    area = AREAS[other % len(AREAS)]
    link = f"See also [the playbook {other}](../{area}/{_slug(other)}.yaml).\n" if number % 4 == 0 else ""
    return f"{first} Begin at the {thing}.\n\n{points}\n{second}\n{third}\n{link}"


def _results(place: int, number: int, count: int, chooser: random.Random) -> dict[str, Any]:
    found = f"cause-{place % CAUSES}"
    chance = {found: f"{chooser.randint(60, 92)}%", "otherwise": f"{chooser.randint(1, 4)}%"}
    last = place == STEPS
    results: dict[str, Any] = {
        "bad": {"expect": f"Reading below {chooser.randint(2, 11)} V", "chance": chance, "next": f"mend-{found}"},
    }
    if place % 4 == 1:
        results["unclear"] = {"expect": "Reading wanders", "chance": "5%", "next": f"step-{place + 2}"}
    if last and number + 1 < count and (number + 1) % CHAIN:
        results["worse"] = {"expect": "It trips again", "chance": "2%", "next": {"playbook": _slug(number + 1)}}
    following = "hand-over" if last else f"step-{place + 1}"
    results["good"] = {"expect": "Reading steady above 12 V", "chance": "rest", "next": following}
    return results


def _endings(thing: str, number: int, chooser: random.Random) -> dict[str, Any]:
    endings: dict[str, Any] = {}
    for n, fault in enumerate(FAULTS):
        low = chooser.randint(10, 60)
        endings[f"mend-cause-{n}"] = {
            "title": f"Mend the {fault.lower()}",
            "do": f"{chooser.choice(SENTENCES)}\n\n- {chooser.choice(POINTS)}\n- {chooser.choice(POINTS)}\n",
            "settles": [f"cause-{n}"],
            "time": f"{low}-{2 * low} min",
            "parts": {f"part-{(CAUSES * number + n) % PARTS}": chooser.randint(1, 2)},
            "tools": [f"tool-{chooser.randrange(TOOLS)}"],
            "prove": {"trial": f"ten minutes with the {thing} on", "shows": f"{chooser.randint(40, 90)}%"},
        }
    endings["hand-over"] = {"title": "Hand over to a professional", "who": "shop", "time": "1-2 h"}
    return endings


if __name__ == "__main__":
    generate(Path(sys.argv[1]), int(sys.argv[2]))
