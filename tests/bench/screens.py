"""How long the walk's next screen takes to be worked out in Chromium at a CPU that is four times slowed down.

For every playbook of the demo: from the start, and after the likeliest result of the best step, again and again. It is
the engine's time, without the elements of the page.
"""

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from playwright.sync_api import sync_playwright

from builder.draw.figures import figures_of
from builder.publish.data.jobschema import made_modules
from builder.publish.data.model import model_of
from builder.publish.pages.pages import Pages
from builder.publish.pages.scripts import scripts_of
from builder.publish.pages.theme import Theme
from builder.publish.pages.views import playbook_view
from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals
from tests.browser import chromium
from tests.demo import demo_library

SLOWED: Final = 4
SCREENS: Final = 4
SCRIPT: Final = 'import { prospect } from "./reckon/order/prospect.js";\nexport const look = prospect;\n'
WALK: Final = """([model, settings, screens]) => {
    const evidence = { seen: {}, failed: [], paid: { tools: [], access: [], shop: [], dangers: [] },
        spent: { money: 0, minutes: 0 } };
    const times = [];
    for (let k = 0; k < screens; k++) {
        const began = performance.now();
        const found = droplight.prospect.prospect(model, evidence, settings);
        times.push(performance.now() - began);
        const { best } = found;
        if (best.kind === "professional") break;
        if (best.kind === "ending") evidence.failed.push(best.name);
        else evidence.seen[best.name] = best.results.reduce((a, b) => (b.chance > a.chance ? b : a)).name;
    }
    return times;
}"""


def main() -> None:
    library = demo_library()
    if library is None:
        raise SystemExit("the demo cannot be read")
    pages = Pages(library, figures_of(library.settings), {})
    titles = {slug: playbook.title for slug, playbook in library.playbooks.items()}
    settings = {"rate": library.settings.labour_rate, "hour": library.settings.owner_hour, "tools": {}}
    with TemporaryDirectory() as name, sync_playwright() as running:
        scripts = Path(name) / "scripts"
        scripts.mkdir()
        (scripts / "bench.js").write_text(SCRIPT, encoding="utf-8")
        script = scripts_of(Theme(Path(name)), made_modules())["bench.js"].decode()
        browser = running.chromium.launch(executable_path=str(chromium.find_or_install()), args=["--no-sandbox"])
        page = browser.new_page()
        page.add_script_tag(content=script)
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
        print(f"next screen, CPU {SLOWED} times slowed, ms")
        for slug, playbook in library.playbooks.items():
            reckoning = reckoning_of(playbook, library.catalogue, library.settings)
            view = playbook_view(reckoning, totals(reckoning, library.settings.currency), library.catalogue, titles)
            model = json.loads(json.dumps(model_of(reckoning, view, pages, titles)))
            times = page.evaluate(WALK, [model, settings, SCREENS])
            print(f"{slug:<36}" + "".join(f"{one:>8.0f}" for one in times), flush=True)
        browser.close()


if __name__ == "__main__":
    main()
