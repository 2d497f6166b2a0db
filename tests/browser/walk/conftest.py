"""What the tests of the walk share: a hand that walks in a page, libraries under other settings, and the figures that
the builder gives for every prefix of every path."""

import json
import re
import shutil
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any, Final

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, BrowserContext, Page

from builder.draw.figures import figures_of
from builder.publish.data.model import model_of
from builder.publish.pages.pages import Pages
from builder.publish.pages.views import playbook_view
from builder.publish.site import write_site
from builder.publish.swap import fresh_folder
from builder.read.findings import has_errors
from builder.read.library import read_library
from builder.read.records import Library, Tool
from builder.reckon.advice import arrange
from builder.reckon.amounts import add_up
from builder.reckon.bill import Bill, path_bill
from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import PathTotals, totals
from tests.demo import demo_library

ROOT: Final = Path(__file__).resolve().parents[3]
PHONE: Final = 360
EVERY_PATH: Final = 10_000
ACKNOWLEDGE: Final = "I have read this and will work that way"
BEGIN: Final = "That holds: begin"


def spaced(text: str) -> str:
    """Text with plain blanks."""
    return " ".join(text.split())


class Hand:
    """Walks in an open page as an owner would: reads what is shown, taps what is offered."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def settle(self) -> "Hand":
        self.page.wait_for_selector("#walk[data-ready]")
        return self

    @property
    def title(self) -> str:
        return spaced(self.page.locator("#walk h1").inner_text())

    @property
    def offered(self) -> list[str]:
        return [spaced(text) for text in self.page.locator("#walk .results > button").all_inner_texts()]

    def then(self, act: Callable[[], None]) -> "Hand":
        """Do something, and wait for the screen that follows."""
        self.page.locator("#walk h1").evaluate("title => { title.dataset.seen = 'yes'; }")
        act()
        self.page.wait_for_selector("#walk h1:not([data-seen])")
        return self

    def tap(self, text: str) -> "Hand":
        """Tap the button, or the link that looks like one, that begins with some words."""
        words = re.compile(r"^\s*" + r"\s+".join(map(re.escape, text.split())))
        button = self.page.locator("#walk button:visible, #walk a.button:visible").filter(has_text=words).first
        return self.then(button.click)

    def answer(self, text: str) -> "Hand":
        """Give a result by its words; the dangers before it are acknowledged."""
        return self.acknowledge().tap(text)

    def give(self, result: str) -> "Hand":
        """Give a result by its name; the dangers before it are acknowledged."""
        self.acknowledge()
        return self.then(self.page.locator(f"#walk [data-result='{result}']").click)

    def acknowledge(self) -> "Hand":
        """Read what must be read before a step: dangers, and what must hold at the beginning."""
        for words in (ACKNOWLEDGE, BEGIN):
            if words in self.offered:
                self.tap(words)
        return self

    def back(self) -> "Hand":
        """The Back key of the phone."""
        return self.then(lambda: self.page.evaluate("history.back()"))

    def at(self, work: str) -> "Hand":
        """The screen of a step or an ending by its name."""
        go = "work => { location.hash = `${location.hash.split('&')[0]}&step=${work}`; }"
        return self.then(lambda: self.page.evaluate(go, work))

    def screen(self, name: str) -> "Hand":
        """Another screen of the job that is open."""
        address = self.page.evaluate("location.hash").partition("&")[0]
        self.page.evaluate("hash => { location.hash = hash; }", f"{address}&screen={name}")
        self.page.wait_for_selector(f"#walk .{name}")
        return self

    def open(self, summary: str) -> "Hand":
        self.page.locator("summary", has_text=summary).first.click()
        return self

    def figure(self, name: str) -> str:
        return self.page.locator(f"#walk [data-figure='{name}']").inner_text().strip()

    @property
    def job(self) -> dict[str, Any]:
        """The job that is open, as it is kept."""
        name = re.search(r"#job=([a-z0-9-]+)", self.page.url)
        assert name
        return self.page.evaluate("id => droplight.store.job(id)", name.group(1))


@pytest.fixture
def walk(open_page: Callable[..., Page]) -> Callable[..., Hand]:
    """Starts the walk of a playbook on a phone, as the button on its page does."""

    def start(slug: str, base: str = "", **how: Any) -> Hand:
        page = open_page(f"{base}walk.html#start={slug}", width=PHONE, **how)
        hand = Hand(page).settle()
        page.wait_for_selector("#meter")
        return hand

    return start


@pytest.fixture(scope="session")
def hand() -> type[Hand]:
    return Hand


def load_module(path: Path) -> Any:
    """A module of the tests by its path, for helpers that stand beside other tests."""
    spec = spec_from_file_location(path.stem, path)
    assert spec
    assert spec.loader
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def load() -> Callable[[Path], Any]:
    return load_module


@pytest.fixture(scope="session")
def reckon_helpers() -> Any:
    """The random playbooks and the catalogue of the reckoning's tests."""
    return load_module(ROOT / "tests" / "reckon" / "conftest.py")


@pytest.fixture(scope="session")
def demo() -> Library:
    return demo_library()


@dataclass(frozen=True)
class Own:
    """An owner's settings; ``rate`` is what a workshop charges for an hour, ``None`` for the site's."""

    tools: Mapping[str, str]
    rate: float | None = None

    def in_browser(self, library: Library) -> dict[str, Any]:
        rate = library.settings.labour_rate if self.rate is None else self.rate
        return {"rate": rate, "hour": library.settings.owner_hour, "tools": dict(self.tools)}

    def in_library(self, library: Library) -> Library:
        """The library as it would be written by one with these tools and this workshop: owned tools are usual."""
        catalogue = library.catalogue
        tools = {name: self._tool(name, tool) for name, tool in catalogue.tools.items()}
        rate = library.settings.labour_rate if self.rate is None else self.rate
        return Library.model_construct(
            settings=library.settings.model_copy(update={"labour_rate": rate}),
            catalogue=catalogue.model_copy(update={"tools": tools}),
            playbooks=library.playbooks,
        )

    def _tool(self, name: str, tool: Tool) -> Tool:
        how = self.tools.get(name)
        if how == "own":
            return tool.model_copy(update={"usual": True})
        if how == "borrow" and tool.borrow is not None and not tool.usual:
            return tool.model_copy(update={"price": tool.borrow})
        return tool


@pytest.fixture(scope="session")
def own() -> type[Own]:
    return Own


_pages: dict[str, Pages] = {}


def pages_of(library: Library) -> Pages:
    """Templates are read once for all libraries of a title; models show nothing else of the library."""
    title = library.settings.title
    return _pages.setdefault(title, Pages(library, figures_of(library.settings), {}))


class Builder:
    """What the builder says of one playbook of a library: its model for the browser, and figures by prefix."""

    def __init__(self, slug: str, library: Library) -> None:
        self.library = library
        self.reckoning = reckoning_of(library.playbooks[slug], library.catalogue, library.settings)
        self.totals = totals(self.reckoning, library.settings.currency, EVERY_PATH)
        self.titles = {name: playbook.title for name, playbook in library.playbooks.items()}

    @property
    def paths(self) -> Sequence[PathTotals]:
        return self.totals.paths

    def model(self) -> dict[str, Any]:
        view = playbook_view(self.reckoning, self.totals, self.library.catalogue, self.titles)
        made = model_of(self.reckoning, view, pages_of(self.library), self.titles)
        return json.loads(json.dumps(made))

    def prefixes(self) -> list[tuple[str, ...]]:
        """Every beginning of every path, the empty one and whole paths among them."""
        found = {path.results[:k] for path in self.paths for k in range(len(path.results) + 1)}
        return sorted(found, key=lambda results: (len(results), results))

    def way(self, results: Sequence[str], whole: bool) -> list[int]:
        """Nodes that are done after some results: the steps, and with ``whole`` the place where they lead as well."""
        nodes = self.reckoning.graph.follow(results)
        return nodes if whole else nodes[:-1]

    def standing(
        self, results: tuple[str, ...], earlier: "Sequence[tuple[Bill, Sequence[int]]]" = ()
    ) -> dict[str, Any]:
        """Where an owner stands after some results: means so far, posterior shares, and what is still to come.

        ``earlier`` is work that was done before in other playbooks of the same job. What is to come is taken from the
        list of all paths: Σ chance · (mean − what is done) over those that begin like this, over the chance to begin
        like this. (That is Σ chance over them, unless chances of a step add up to 99.99 % only.)
        """
        done = [*earlier, (self.reckoning.bill, self.way(results, whole=False))]
        spent = means(done)
        found = {"so_far": spent, "causes": None, "to_come": None, "within": None}
        here = [path for path in self.paths if path.results[: len(results)] == results]
        odds, graph = self.reckoning.odds, self.reckoning.graph
        whole = sum(odds.weights(graph, results)) / (odds.share_unit * odds.unit ** len(results)) if odds else 0
        if odds is None or not whole:
            return found
        found["causes"] = list((odds.posterior(graph, results) or {}).values())
        ways = [(path, means([*earlier, (self.reckoning.bill, self.way(path.results, whole=True))])) for path in here]
        found["to_come"] = {
            key: sum(path.chance * (way[key] - spent[key]) for path, way in ways) / whole for key in spent
        }
        found["within"] = reached(sorted((way["money"] - spent["money"], path.chance / whole) for path, way in ways))
        return found


def means(legs: Sequence[tuple[Bill, Sequence[int]]]) -> dict[str, float]:
    """Mean money, workshop price and minutes of work in one or more playbooks of a library, as one job."""
    first = legs[0][0]
    items = [item for bill, _ in legs for item in bill.items]
    shifts = [sum(len(bill.items) for bill, _ in legs[:k]) for k in range(len(legs))]
    way = [shift + i for shift, (_, nodes) in zip(shifts, legs, strict=True) for i in nodes]
    bill = path_bill(replace(first, items=items), way)
    return {key: add_up(getattr(bill, key)).mean for key in ("money", "shop_money", "minutes")}


def reached(ways: Sequence[tuple[float, float]]) -> list[float]:
    """The money within which 95 % stay; two where the sum of chances meets 95 % so closely that rounding decides."""
    total, found = 0.0, []
    for money, chance in ways:
        total += chance
        if chance and total >= 0.95 - 1e-9:
            found.append(money)
            if total >= 0.95 + 1e-9:
                return found
    return found


@pytest.fixture(scope="session")
def builder_of() -> type[Builder]:
    return Builder


@pytest.fixture(scope="session")
def means_of() -> Callable[..., dict[str, float]]:
    return means


@pytest.fixture
def own_context(browser: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Opens a device of its own for the site at an address; errors and requests that leave that site fail the test."""
    contexts: list[BrowserContext] = []
    problems: list[str] = []

    def opened(base: str, **how: Any) -> BrowserContext:
        context = browser.new_context(**{"viewport": {"width": PHONE, "height": 740}, **how})
        contexts.append(context)
        inside = (base, "data:", "blob:", "about:")
        context.on("weberror", lambda error: problems.append(f"error: {error.error}"))
        context.on(
            "request", lambda asked: None if asked.url.startswith(inside) else problems.append(f"left: {asked.url}")
        )
        return context

    yield opened
    for context in contexts:
        context.close()
    assert not problems, "\n".join(problems)


class _MovableHandler(SimpleHTTPRequestHandler):
    """Serves a folder below ``/under/here/`` and nothing elsewhere."""

    protocol_version = "HTTP/1.1"

    def __init__(self, *args: Any, site: "Server", **how: Any) -> None:
        self.site = site
        super().__init__(*args, **how)

    def do_GET(self) -> None:
        name = self.path.removeprefix("/under/here/")
        self.site.asked.append(name)
        if self.site.portal is not None and name not in self.site.spared:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(self.site.portal)))
            self.end_headers()
            self.wfile.write(self.site.portal)
            return
        if name not in self.site.leads:
            super().do_GET()
            return
        self.site.led.append(name)
        self.send_response(302)
        self.send_header("Location", f"/under/here/{self.site.leads[name]}")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def translate_path(self, path: str) -> str:
        inside = path.partition("?")[0].startswith("/under/here/")
        return super().translate_path(path.removeprefix("/under/here") if inside else "/nothing/here")

    def log_message(self, *_: object) -> None:
        """Keeps the tests' output clean."""


class Server:
    """A site in a folder of its own that can be rebuilt and stopped.

    ``leads`` says from which files it leads to others (with a 302), ``led`` what was led so, ``asked`` what was asked
    for. With a ``portal`` every file but those ``spared`` is that page, as a captive portal has it.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.leads: dict[str, str] = {}
        self.led: list[str] = []
        self.asked: list[str] = []
        self.portal: bytes | None = None
        self.spared: set[str] = set()
        handler = partial(_MovableHandler, directory=str(folder), site=self)
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, daemon=True)
        self._thread.start()
        self.address = f"http://127.0.0.1:{self._server.server_port}/under/here/"

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()


def build(folder: Path, out: Path) -> Path:
    read = read_library(folder, appraise=arrange)
    library, findings = read.library, read.findings
    assert library
    assert not has_errors(findings)
    with fresh_folder(out) as new:
        write_site(library, folder, new)
    return out


@pytest.fixture(scope="session")
def build_site() -> Callable[[Path, Path], Path]:
    """Builds the site of a library folder."""
    return build


@pytest.fixture
def demo_folder(tmp_path: Path) -> Path:
    """A copy of the demo library's files, to be changed."""
    return Path(shutil.copytree(ROOT / "playbooks", tmp_path / "library"))


@pytest.fixture(scope="session")
def small_folder(session_dir: Path) -> Path:
    """A library of two short playbooks of the demo and its catalogue, quick to build and to keep."""
    folder = session_dir / "small-library"
    with FileLock(session_dir / "small-library.lock"):
        if not folder.exists():
            shutil.copytree(ROOT / "playbooks" / "catalogue", folder / "catalogue")
            shutil.copy(ROOT / "playbooks" / "library.yaml", folder)
            for name in ("cabin/fan-on-top-speed-only.yaml", "electrics/headlamp-flickers.yaml"):
                (folder / name).parent.mkdir()
                shutil.copy(ROOT / "playbooks" / name, folder / name)
    return folder


@pytest.fixture
def serve() -> Iterator[Callable[[Path], Server]]:
    """Serves a folder under a sub-path of a port of its own."""
    servers: list[Server] = []

    def start(folder: Path) -> Server:
        servers.append(Server(folder))
        return servers[-1]

    yield start
    for server in servers:
        if server._thread.is_alive():
            server.stop()
