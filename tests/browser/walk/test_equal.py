"""One truth: every figure that the browser works out is the builder's, on every path, under any settings.

The builder's side is taken from its list of all paths, which the browser never lists; see ``Builder.standing``.
"""

import json
from typing import Any, Final

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from builder.draw.figures import Figures
from builder.read.library import read_library
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.reckon.advice import arrange
from tests.sweep import EXAMPLES

DRIVE: Final = """([legs, prefixes, settings]) => {
    // Walks a job through earlier legs, then along every prefix in the last model, and tells the figures shown there.
    const jobs = { ...droplight.job, ...droplight.stand, ...droplight.tally, ...droplight.ahead };
    const reckon = { ...droplight.bill, ...droplight.odds, ...droplight.expect, ...droplight.paths };
    const models = Object.fromEntries(legs.map(({ model }) => [model.slug, model]));
    const take = (job, model, results) => {
        const leg = job.legs[job.legs.length - 1];
        for (const name of results) {
            const node = model.nodes[jobs.stand(model, leg).i];
            const means = jobs.counted(jobs.done(job, models), model, node, settings);
            jobs.see(leg, node, node.results.find((result) => result.name === name), { means });
        }
        return leg;
    };
    return prefixes.map((results) => {
        const job = jobs.create(legs[0].model, settings);
        legs.slice(0, -1).forEach(({ model, results: way }, k) => {
            take(job, model, way);
            job.legs.push(jobs.newLeg(legs[k + 1].model));
        });
        const { model } = legs[legs.length - 1];
        const leg = take(job, model, results);
        const { i, weights } = jobs.stand(model, leg);
        const before = jobs.done(job, models);
        const spent = jobs.soFar(before, settings);
        const now = weights && reckon.shares(weights);
        const lies = jobs.ahead(model, leg);
        const means = now && reckon.expect(lies, i, weights, before, settings);
        const most = now && reckon.within(lies, i, weights, before, settings, [0.95]);
        return {
            so_far: {
                money: spent.money, minutes: spent.minutes,
                shop_money: reckon.mean(reckon.bill(before, settings).shopMoney),
            },
            causes: now, within: most && most[0],
            to_come: means && { money: means.money, minutes: means.minutes, shop_money: means.shopMoney },
        };
    });
}"""


@pytest.fixture(scope="module")
def engine(browser: Browser, site_dir: Any) -> Any:
    """A page of the site in which figures are worked out."""
    context = browser.new_context()
    page = context.new_page()
    page.goto((site_dir / "walk.html").as_uri())
    page.wait_for_selector("#walk[data-ready]")
    yield page
    context.close()


def near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-9)


def assert_equal(shown: dict[str, Any], reckoned: dict[str, Any]) -> None:
    assert shown["so_far"] == near(reckoned["so_far"])
    assert shown["causes"] == (None if reckoned["causes"] is None else near(reckoned["causes"]))
    assert shown["to_come"] == (None if reckoned["to_come"] is None else near(reckoned["to_come"]))
    if reckoned["within"] is None:
        assert shown["within"] is None
    else:
        assert any(shown["within"] == near(money) for money in reckoned["within"])


def compare(engine: Page, builder: Any, model: dict[str, Any], settings: dict[str, Any]) -> None:
    """Along every prefix of every path of a playbook."""
    prefixes = builder.prefixes()
    shown = engine.evaluate(DRIVE, [[{"model": model, "results": []}], [list(one) for one in prefixes], settings])
    for results, figures in zip(prefixes, shown, strict=True):
        assert_equal(figures, builder.standing(results))


def some_settings(library: Library, own: type) -> list[Any]:
    """The site's; all tools owned and a dear workshop; every other tool borrowed, the rest owned or bought."""
    names = sorted(library.catalogue.tools)
    mixed = {name: ("borrow", "own")[k % 3] for k, name in enumerate(names) if k % 3 < 2}
    return [own({}), own(dict.fromkeys(names, "own"), 131.37), own(mixed, 60)]


@pytest.mark.parametrize("which", [0, 1, 2], ids=["site", "all-owned", "mixed"])
def test_every_path_of_the_demo_comes_to_the_figures_of_the_builder(which, engine, demo, own, builder_of):
    chosen = some_settings(demo, own)[which]
    library = chosen.in_library(demo)
    for slug in demo.playbooks:
        compare(engine, builder_of(slug, library), builder_of(slug, demo).model(), chosen.in_browser(demo))


def random_library(data: st.DataObject, helpers: Any) -> Library:
    plain = [{**helpers.fill_in(data.draw(helpers.random_playbooks())), "slug": slug} for slug in ("x", "other")]
    made = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"y": "Y"}}
    return Library.model_construct(
        settings=Settings.model_validate(made),
        catalogue=Catalogue.model_validate(helpers.CATALOGUE),
        playbooks={playbook["slug"]: Playbook.model_validate(playbook) for playbook in plain},
    )


SETTINGS: Final = st.tuples(
    st.dictionaries(st.sampled_from(["meter", "puller"]), st.sampled_from(["own", "borrow"])),
    st.one_of(st.none(), st.integers(0, 200)),
)


@settings(max_examples=25 * EXAMPLES, deadline=None)
@given(data=st.data(), chosen=SETTINGS)
def test_every_path_of_made_up_playbooks_comes_to_the_figures_of_the_builder(
    data, chosen, engine, own, builder_of, reckon_helpers
):
    library = random_library(data, reckon_helpers)
    choice = own(*chosen)
    changed = choice.in_library(library)
    compare(engine, builder_of("x", changed), builder_of("x", library).model(), choice.in_browser(library))


@settings(max_examples=12 * EXAMPLES, deadline=None)
@given(data=st.data(), chosen=SETTINGS)
def test_a_job_goes_on_in_the_next_playbook_with_one_bill(data, chosen, engine, own, builder_of, reckon_helpers):
    library = random_library(data, reckon_helpers)
    choice = own(*chosen)
    changed = choice.in_library(library)
    first, second = builder_of("x", changed), builder_of("other", changed)
    done = data.draw(st.sampled_from(first.paths)).results
    legs = [
        {"model": builder_of("x", library).model(), "results": list(done)},
        {"model": builder_of("other", library).model(), "results": []},
    ]
    prefixes = second.prefixes()
    shown = engine.evaluate(DRIVE, [legs, [list(one) for one in prefixes], choice.in_browser(library)])
    earlier = [(first.reckoning.bill, first.way(done, whole=False))]
    for results, figures in zip(prefixes, shown, strict=True):
        assert_equal(figures, second.standing(results, earlier))


def test_hand_overs_of_the_demo_go_on_with_one_bill(engine, demo, own, builder_of):
    choice = own({"jack-and-stands": "own"}, 120)
    library = choice.in_library(demo)
    seen = 0
    for slug in demo.playbooks:
        first = builder_of(slug, library)
        for path in first.paths:
            if not path.handover:
                continue
            seen += 1
            second = builder_of(path.handover, library)
            legs = [
                {"model": builder_of(slug, demo).model(), "results": list(path.results)},
                {"model": builder_of(path.handover, demo).model(), "results": []},
            ]
            prefixes = second.prefixes()[:40]
            shown = engine.evaluate(DRIVE, [legs, [list(one) for one in prefixes], choice.in_browser(demo)])
            for results, figures in zip(prefixes, shown, strict=True):
                earlier = [(first.reckoning.bill, first.way(path.results, whole=False))]
                assert_equal(figures, second.standing(results, earlier))
    assert seen


AMOUNTS: Final = [
    0, 0.004, 0.005, 0.125, 0.375, 0.5, 1, 1.005, 2.5, 2.675, 7.99, 9.995, 12.5, 19.5, 19.994, 19.996, 20, 20.5, 21.5,
    45, 99.5, 104.5, 105, 115, 125, 249.99999, 995, 1005, 1234.5, 9950, 12500, 123456, -3, -22.5,
]  # fmt: skip
TIMES: Final = [
    0, 0.2, 0.5, 1.5, 2.5, 7, 12.5, 58.5, 59.49, 59.5, 60, 62.5, 67.5, 90, 117.5, 122.4, 297.5, 599, 600, 630, 75000,
]  # fmt: skip
SHARES: Final = [0, 1e-9, 0.004, 0.005, 0.0051, 0.015, 0.025, 0.125, 0.5, 0.625, 0.994, 0.995, 0.9999, 1 - 1e-12, 1]
PLACES: Final = [("en-GB", "EUR"), ("en-US", "USD"), ("de", "EUR"), ("es-MX", "MXN"), ("ja", "JPY"), ("nl", "EUR")]


@pytest.mark.parametrize(("language", "currency"), PLACES)
def test_figures_are_written_as_the_builder_writes_them(language, currency, browser, site_dir):
    page = browser.new_page()
    page.set_content(f'<html lang="{language}" data-currency="{currency}"><body></body></html>')
    for script in ("page", "lists"):
        (path,) = (site_dir / "assets").glob(f"{script}.*.js")
        page.add_script_tag(path=path)
    figures = Figures(language.replace("-", "_"), currency)
    for name, values in (("money", AMOUNTS), ("about", AMOUNTS), ("minutes", TIMES), ("share", SHARES)):
        shown = page.evaluate(f"values => values.map(droplight.figures.{name})", values)
        assert dict(zip(values, map(plain, shown), strict=True)) == {
            value: plain(getattr(figures, name)(value)) for value in values
        }
    page.close()


def plain(text: str) -> str:
    """Without the differences between releases of the locale data: which blank stands where, and which dash."""
    return text.replace("\u00a0", " ").replace("\u202f", " ").replace("\u2212", "-").replace("\u200f", "")


LIVE: Final = "[data-figure], [data-work], [data-sum], [data-added], [data-end]"
READ: Final = f"""() => [...document.querySelectorAll("{LIVE}")].map((element) => element.innerText.trim())"""


def test_pages_under_own_settings_say_what_a_site_of_such_a_library_says(
    own_context, demo, own, demo_folder, build_site, tmp_path, site_dir
):
    names = sorted(name for name, tool in demo.catalogue.tools.items() if not tool.usual)
    lent = [name for name in names if demo.catalogue.tools[name].borrow is not None]
    chosen = {**dict.fromkeys(lent[::2], "borrow"), **dict.fromkeys(names[::3], "own")}
    choice = own(chosen, 131.37)
    other = build_site(rewritten(demo_folder, choice), tmp_path / "site")
    books = read_library(demo_folder, appraise=arrange).library.playbooks
    # An order that is worked out is the best under the settings of the site; a reader's own do not rewrite its pages.
    moved = [slug for slug, book in demo.playbooks.items() if led(book) != led(books[slug])]
    assert len(moved) < 3
    kept = json.dumps({"rate": 131.37, "hour": demo.settings.owner_hour, "tools": chosen})
    page, twin = (own_context("file://").new_page() for _ in range(2))
    page.goto((site_dir / "settings.html").as_uri())
    page.evaluate(
        "kept => localStorage.setItem(`droplight:${document.documentElement.dataset.site}:settings`, kept)", kept
    )
    pages = ["index.html", *(f"playbook/{slug}.html" for slug in demo.playbooks if slug not in moved)]
    paths = [path for path in sorted((site_dir / "path").iterdir()) if path.name.partition("--")[0] not in moved]
    pages += [path.relative_to(site_dir).as_posix() for path in paths[::60]]
    for name in pages:
        page.goto((site_dir / name).as_uri())
        if not name.startswith("index"):
            page.wait_for_selector("html[data-applied]", state="attached")
        twin.goto((other / name).as_uri())
        for one in (page, twin):
            one.evaluate("slugs => slugs.forEach((slug) => document.getElementById(`row-${slug}`)?.remove())", moved)
        assert page.evaluate(READ) == twin.evaluate(READ), name


def led(book: Any) -> dict[str, dict[str, str]]:
    """Where each result of each step leads."""
    return {name: {key: str(one.next) for key, one in step.results.items()} for name, step in book.steps.items()}


def rewritten(folder: Any, choice: Any) -> Any:
    """The library's files as one with these settings would write them."""
    path = folder / "catalogue" / "tools.yaml"
    tools = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506 - builds plain text only
    for name, how in choice.tools.items():
        if how == "own":
            tools[name]["price"] = "0"
            tools[name].pop("borrow", None)
        else:
            tools[name]["price"] = tools[name]["borrow"]
    path.write_text(json.dumps(tools, ensure_ascii=False), encoding="utf-8")
    path = folder / "library.yaml"
    top = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506
    path.write_text(json.dumps({**top, "labour_rate": str(choice.rate)}, ensure_ascii=False), encoding="utf-8")
    return folder


def test_pages_under_the_settings_of_the_site_stay_as_they_were_built(open_page, site_dir, demo):
    for name in ["index.html", *(f"playbook/{slug}.html" for slug in list(demo.playbooks)[::5])]:
        bare = open_page((site_dir / name).as_uri(), javascript=False)
        page = open_page((site_dir / name).as_uri())
        assert page.locator("[data-figure]").all_inner_texts() == bare.locator("[data-figure]").all_inner_texts()
