"""A library that says everything the format can say, for tests that take something out of it."""

from typing import Final

PLAYBOOK: Final = """\
format: 1
title: Cabin fan runs on the top speed only
vehicles: [Tamarin 1.6, Tamarin 2.0]
was: [fan-four, fan-old]
also: [no air, heater fan dead]
symptom:
  summary: Speeds 1 to 3 are dead, speed 4 is normal.
  conditions: [any temperature, engine on or off]
  codes: [P0128, P0300]
preconditions: [Battery above 12.4 V]
source: {what: own count, seen: 24, on: 2026-03}
professional: {diagnosis: 1-2 h, unlisted: 300-900}
accept: {unlisted-large: Fine.}
causes:
  resistor: {name: Burnt fan resistor, share: 70%, note: Hm., source: {what: trade experience}}
  plug:     {name: Melted resistor plug, share: 10%}
  switch:   {name: Worn speed switch, share: 15%}
start: rest-volts
steps:
  rest-volts:
    check: battery-at-rest
    results:
      charged: {chance: {plug: 95%, otherwise: 90%}, next: look-at-plug}
      flat: {chance: rest, next: {playbook: other}}
  look-at-plug:
    title: Look at the resistor plug
    do: Pull the plug behind the glovebox. Look for brown plastic and loose pins. [See](#new-plug)
    preconditions: [Fan off for ten minutes]
    time: 10-20 min
    wait: 2 nights
    cost: 0
    access: [glovebox, wheel]
    hazards: [hot-parts, lifting]
    mishap: {what: It breaks, chance: 3%, cost: 10-20}
    after: {rest-volts: [charged]}
    was: [look]
    results:
      browned:
        expect: A pin is loose or the plastic is brown
        chance: {plug: 95%, otherwise: 3%}
        next: new-plug
        was: [brown]
        source: {what: published}
      clean:
        expect: Plastic and pins look new
        chance: rest
        next: measure-resistor
  measure-resistor:
    title: Measure the resistor on the jack
    do: Measure every stage.
    time: {low: 5 min, likely: 16 min, high: 20 min}
    tools: [multimeter, stands]
    no_hazards: {hot-parts: It is cold.}
    after: [look-at-plug]
    reading: {of: Resistance, unit: ohm}
    results:
      open:
        expect: One stage reads open
        chance: {resistor: 97%, otherwise: 1%}
        next: new-resistor
        range: above 4
      in-range: {expect: All stages within 20 % of the marking, chance: rest, next: new-switch, range: below 4}
endings:
  new-plug:     {title: Fit a repair plug, settles: [plug], time: 30-60 min, parts: [resistor-plug], tools: [crimper]}
  new-resistor: {title: Fit a new resistor, settles: [resistor], time: 15-30 min, parts: [fan-resistor],
                 prove: {trial: ten minutes on speed 1, shows: 60%}}
  new-switch:   {title: Fit a new speed switch, settles: [switch], time: 1 h, parts: {speed-switch: 2}, who: shop}
"""

TO_BE_ORDERED: Final = """\
format: 1
title: Other
symptom: {summary: Other.}
order: best
causes:
  one: {name: One, share: 60%}
  two: {name: Two, share: 35%}
steps:
  a:
    title: Look
    time: 5 min
    results: {yes: {expect: Y, chance: {one: 90%, otherwise: 5%}}, no: {expect: N, chance: rest}}
  b:
    title: See
    time: 5 min
    after: [a]
    results: {yes: {expect: Y, chance: {two: 90%, otherwise: 5%}}, no: {expect: N, chance: rest}}
endings:
  mend-one: {title: One, settles: [one], time: 1 h}
  mend-two: {title: Two, settles: all, time: 1 h}
  shop: {title: Hand over, time: 1 h}
"""

FILES: Final[dict[str, str]] = {
    "library.yaml": """\
title: T
language: en-GB
currency: EUR
labour_rate: 95
owner_hour: 15
avoid_danger: 20
professional: {diagnosis: 1-2 h, unlisted: 300-900}
areas: {cabin: Cabin, brakes: {title: Brakes, implies: [lifting]}}
site_id: t
edit_url: 'https://example.org/{path}'
new_url: 'https://example.org/new/{path}'
""",
    "catalogue/tools.yaml": """\
multimeter: {name: Multimeter, price: 25, usual: true}
crimper: {name: Crimping pliers, price: 20-40, borrow: 5, note: N}
stands: {name: Axle stands, price: 40-80, hazards: [lifting, oil]}
""",
    "catalogue/parts.yaml": """\
fan-resistor: {name: R, price: 18-45}
resistor-plug: {name: P, price: 12}
speed-switch: {name: S, price: 30-60, note: N}
""",
    "catalogue/access.yaml": """\
glovebox: {name: Glovebox out, open: 5 min, close: 5-10 min}
wheel: {name: Wheel off, open: 5 min, close: 5-10 min, hazards: [lifting]}
""",
    "catalogue/hazards.yaml": """\
hot-parts: {name: Hot parts, signal: caution, harm: Burns., avoid: Let it cool., words: [scald, burn]}
oil: {name: Oil, signal: notice, harm: Slip., avoid: Wipe.}
lifting: {name: Lift, words: [hoist]}
""",
    "catalogue/checks.yaml": """\
battery-at-rest:
  title: Measure the battery
  do: Measure it.
  time: 5 min
  tools: [multimeter]
  access: [glovebox]
  hazards: [hot-parts]
  reading: {of: Battery, unit: V}
  results:
    charged: {expect: Above, range: above 12.4}
    flat: {expect: Below, range: below 12.4}
""",
    "catalogue/codes.yaml": """\
P0128: {means: Coolant cold, source: S}
P0300: {means: Misfire}
""",
    "cabin/fan.yaml": PLAYBOOK,
    "cabin/other.yaml": TO_BE_ORDERED,
}
"""Every file of a library without findings."""
