"""The worked example: a small library that the guide fills in, and to which the examples of the rules are changes."""

from typing import Final

SLUG: Final = "washer-sprays-nothing"
AREA: Final = "electrics"
TITLE: Final = "Windscreen washer sprays nothing"
PATH: Final = f"{AREA}/{SLUG}.yaml"

PLAYBOOK: Final = """\
format: 1
title: Windscreen washer sprays nothing
vehicles: [Tamarin 1.6]
symptom:
  summary: The wipers run, but no water comes.
  conditions: [above freezing]
preconditions: [Washer bottle full]
causes:
  nozzle: {name: Blocked nozzles, share: 45%}
  fuse: {name: Blown fuse, share: 15%}
  pump: {name: Dead washer pump, share: 32%}
start: listen
steps:
  listen:
    title: Listen for the pump
    do: Ignition on, engine off. Pull the lever. A helper listens at the front bumper.
    time: 2 min
    results:
      hums:
        expect: The pump hums
        chance: {nozzle: 98%, pump: 8%, fuse: 0%, otherwise: 50%}
        next: clear-nozzles
      silent:
        expect: Not a sound
        chance: rest
        next: check-fuse
  check-fuse:
    title: Check the fuse
    do: Fuse 14 in the footwell. Measure across it, do not only look.
    time: 5-10 min
    tools: [multimeter]
    results:
      blown:
        expect: No continuity
        chance: {fuse: 99%, otherwise: 1%}
        next: new-fuse
      sound:
        expect: Continuity
        chance: rest
        next: measure-at-pump
  measure-at-pump:
    title: Measure at the plug of the pump
    do: Plug off, lever pulled. Good is more than 11 V.
    time: {low: 5 min, likely: 8 min, high: 15 min}
    tools: [multimeter]
    access: [bumper-flap]
    results:
      supplied:
        expect: More than 11 V
        chance: {pump: 97%, otherwise: 10%}
        next: new-pump
      dead:
        expect: Nothing, or a few volts
        chance: rest
        next: hand-over
endings:
  clear-nozzles:
    title: Clear the nozzles
    do: Blow back through each nozzle, then rinse the hose with clean water.
    settles: [nozzle]
    time: 15-25 min
    hazards: [washer-fluid]
  new-fuse:
    title: Fit a new fuse
    do: Same rating. If it blows again, stop and hand over.
    settles: [fuse]
    time: 2 min
    parts: [blade-fuse]
    prove: {trial: ten pulls of the lever, shows: 90%}
  new-pump:
    title: Fit a new washer pump
    do: Have a bowl ready. The bottle empties when the pump comes out.
    settles: [pump]
    time: 20-40 min
    parts: [washer-pump]
    access: [bumper-flap]
    hazards: [washer-fluid]
  hand-over:
    title: Hand over to a professional
    do: What is left is a broken wire or a worn lever switch.
    who: shop
    time: 1 h
"""

CATALOGUE: Final = {
    "catalogue/tools.yaml": "multimeter: {name: Multimeter, price: 25, usual: true}\n",
    "catalogue/parts.yaml": """\
blade-fuse: {name: Blade fuse, price: 0.50}
washer-pump: {name: Washer pump, price: 12-28, note: Compare the plug.}
""",
    "catalogue/access.yaml": "bumper-flap: {name: Bumper flap open, open: 3 min, close: 3-5 min}\n",
    "catalogue/hazards.yaml": """\
washer-fluid:
  name: Washer fluid
  signal: caution
  harm: The concentrate irritates eyes and skin.
  avoid: Wear gloves and rinse off splashes.
  words: [concentrate]
""",
}

SETTINGS: Final = """\
title: Our playbooks
language: en
currency: EUR
labour_rate: 90
owner_hour: 15
least_saving: 20
areas:
  electrics: Electrics
  starting: Starting and charging
"""

OTHER_PATH: Final = f"{AREA}/wipers-smear.yaml"

OTHER: Final = """\
format: 1
title: Wipers smear
symptom: {summary: A film stays on the glass behind the blades.}
causes:
  blade: {name: Worn blades, share: 60%}
  film: {name: Film on the glass, share: 35%}
start: look-at-blades
steps:
  look-at-blades:
    title: Look at the edges of the blades
    time: 2 min
    results:
      cracked: {expect: A crack, chance: {blade: 60%, otherwise: 20%}, next: wipe-the-glass}
      whole: {expect: A clean edge, chance: rest, next: wipe-the-glass}
  wipe-the-glass:
    title: Wipe the glass and try again
    time: 5 min
    results:
      clear: {expect: It wipes clear, chance: {film: 90%, otherwise: 5%}, next: clean-the-glass}
      smears: {expect: It smears, chance: rest, next: new-blades}
      dry: {expect: No water comes, chance: 1%, next: {playbook: washer-sprays-nothing}}
endings:
  clean-the-glass: {title: Clean the glass, settles: [film], time: 15 min}
  new-blades: {title: Fit new blades, settles: [blade], time: 10 min, cost: 15-30}
"""


BEST_PATH: Final = f"{AREA}/horn-is-mute.yaml"

BEST: Final = """\
format: 1
title: Horn is mute
symptom: {summary: Not a sound when the horn is pressed.}
causes:
  fuse: {name: Blown fuse, share: 30%}
  horn: {name: Dead horn, share: 65%}
order: best
steps:
  look-at-fuse:
    check: fuse-wire
    hazards: []
    results:
      blown: {chance: {fuse: 98%, otherwise: 1%}}
      whole: {chance: rest}
  measure-at-horn:
    title: Measure at the plug of the horn
    time: 10 min
    tools: [multimeter]
    results:
      fed: {expect: 12 V while the horn is pressed, chance: {horn: 95%, fuse: 0%, otherwise: 5%}}
      dead: {expect: Nothing, chance: rest}
endings:
  fit-fuse: {title: Fit a new fuse, settles: [fuse], time: 2 min, parts: [blade-fuse]}
  fit-horn: {title: Fit a new horn, settles: [horn], time: 30 min, cost: 20-40}
  hand-over: {title: Hand over to a professional, who: shop, time: 1 h}
"""

CHECKS: Final = """\
fuse-wire:
  title: Look at the fuse
  time: 5 min
  results:
    blown: {expect: The wire is melted}
    whole: {expect: The wire is whole}
"""

CHECKS_PATH: Final = "catalogue/checks.yaml"

OTHERS: Final = {OTHER_PATH: OTHER, BEST_PATH: BEST, CHECKS_PATH: CHECKS}
"""Files beside the worked playbook that examples of the rules change, by path."""

LIBRARY: Final = {"library.yaml": SETTINGS, **CATALOGUE, PATH: PLAYBOOK, **OTHERS}
"""Every file of the small library, by path."""
