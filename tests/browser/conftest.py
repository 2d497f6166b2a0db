"""The built demo library in a real browser, served from a sub-path as a static host would."""

import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Final, Literal

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright

SUB_PATH: Final = "/some/where/"
HEIGHT: Final = 900
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
OpenPage = Callable[..., Page]


class _SubPathHandler(SimpleHTTPRequestHandler):
    """Serves a folder below ``SUB_PATH`` and nothing elsewhere."""

    protocol_version = "HTTP/1.1"

    def translate_path(self, path: str) -> str:
        if not path.startswith(SUB_PATH):
            return str(Path(self.directory) / "outside" / "of" / "the" / "site")
        return super().translate_path("/" + path.removeprefix(SUB_PATH))

    def log_message(self, *_: object) -> None:
        """Keeps the tests' output clean."""


@pytest.fixture(scope="session")
def site_server(site_dir: Path) -> Iterator[str]:
    """The address of the demo library's home page."""
    handler = partial(_SubPathHandler, directory=str(site_dir))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}{SUB_PATH}"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="session")
def chromium_path(session_dir: Path) -> str:
    """The machine's Chromium; whichever worker asks first installs it where there is none."""
    script = Path(__file__).with_name("chromium.py")
    with FileLock(session_dir / "chromium.lock"):
        done = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright, chromium_path: str) -> Iterator[Browser]:
    launched = playwright.chromium.launch(executable_path=chromium_path, headless=True, args=list(FLAGS))
    yield launched
    launched.close()


@pytest.fixture
def open_page(browser: Browser, site_server: str, site_dir: Path) -> Iterator[OpenPage]:
    """Opens a page of the site by its path, or the home page of another site by its address.

    The test fails on anything written to the console as an error, on any uncaught error and on any request that leaves
    the sites.
    """
    contexts: list[BrowserContext] = []
    problems: list[str] = []
    inside = [site_server, site_dir.as_uri() + "/", "data:", "blob:", "about:"]

    def watch(page: Page) -> None:
        page.on("console", lambda said: problems.append(f"console: {said.text}") if said.type == "error" else None)
        page.on("pageerror", lambda error: problems.append(f"error: {error}"))
        page.on(
            "request",
            lambda asked: None if asked.url.startswith(tuple(inside)) else problems.append(f"left: {asked.url}"),
        )

    def opened(
        url: str = "", width: int = 1280, scheme: Literal["light", "dark"] = "light", javascript: bool = True
    ) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": HEIGHT}, color_scheme=scheme, java_script_enabled=javascript
        )
        contexts.append(context)
        context.on("page", watch)
        page = context.new_page()
        address = url if "://" in url else site_server + url
        if not address.startswith(tuple(inside)):
            inside.append(address.rpartition("/")[0] + "/")
        page.goto(address)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not problems, "\n".join(problems)
