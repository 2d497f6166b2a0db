"""The demo's site on a web server under a sub-path, with the headers that a build writes down for it.

The server is a real nginx, set up by the recipe below, and Python's own with the same headers; where there is no nginx
and none can be had, Python's stands in for it, and a warning says so.
"""

import grp
import os
import re
import socket
import subprocess
import sys
import threading
import time
import warnings
from collections.abc import Callable, Iterator
from functools import partial
from http.client import HTTPConnection
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Final
from urllib.parse import urljoin, urlsplit

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, expect

SUB_PATH: Final = "/some/where/"

HEADERS_RECIPE: Final = r"""sed 's/^\([^:]*\): \(.*\)$/add_header \1 "\2" always;/' headers.txt"""

HTTP_RECIPE: Final = """
types { application/manifest+json webmanifest; }
map $uri $droplight_cache {
    ~/assets/  "public, max-age=31536000, immutable";
    default    no-cache;
}
"""

SERVER_RECIPE: Final = """
location /some/where/ {
    alias SITE/;
    include HEADERS;
    add_header Cache-Control $droplight_cache always;
}
"""

# What a private instance needs beside the recipe: places of its own for all that it writes.
INSTANCE: Final = """
daemon off;
worker_processes 1;
pid nginx.pid;
error_log stderr warn;
{user}
events {{}}
http {{
    access_log off;
    client_body_temp_path body;
    proxy_temp_path proxy;
    fastcgi_temp_path fastcgi;
    uwsgi_temp_path uwsgi;
    scgi_temp_path scgi;
    include {types};
    {http}
    server {{
        listen 127.0.0.1:{port};
        {server}
    }}
}}
"""

FLOW: Final = "flow/fan-on-top-speed-only.svg"
PLAYBOOK: Final = "playbook/fan-on-top-speed-only.html"
PAGES: Final = (
    "",
    PLAYBOOK,
    FLOW,
    "area/cooling.html",
    "code/P0335.html",
    "safety.html",
    "settings.html",
    "guide.html",
)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def answers(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


@pytest.fixture(scope="session")
def nginx_and_types(session_dir: Path) -> list[str]:
    """The program and its media types; empty where there is none. Whichever worker asks first unpacks it for all."""
    script = Path(__file__).with_name("nginx.py")
    with FileLock(session_dir / "nginx.lock"):
        command = [sys.executable, str(script), str(session_dir / "nginx")]
        return subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\n")[:-1]


def nginx(program: str, types: str, site: Path, run: Path) -> Iterator[str]:
    """Runs a private nginx and gives the address of the site."""
    headers = subprocess.run(HEADERS_RECIPE, shell=True, cwd=site, capture_output=True, text=True, check=True)  # noqa: S602
    (run / "headers.conf").write_text(headers.stdout, encoding="utf-8")
    port = free_port()
    server = SERVER_RECIPE.replace("SITE", str(site)).replace("HEADERS", str(run / "headers.conf"))
    # Root's nginx would serve as somebody who may not look into a test's folder.
    user = f"user root {grp.getgrgid(0).gr_name};" if os.geteuid() == 0 else ""
    settings = INSTANCE.format(user=user, types=types, http=HTTP_RECIPE, port=port, server=server)
    (run / "nginx.conf").write_text(settings, encoding="utf-8")
    command = [program, "-e", "stderr", "-p", str(run), "-c", str(run / "nginx.conf")]
    with (run / "said").open("wb") as said, subprocess.Popen(command, stderr=said) as process:
        until = time.monotonic() + 30
        while not answers(port):
            assert process.poll() is None, (run / "said").read_text()
            assert time.monotonic() < until
            time.sleep(0.05)
        yield f"http://127.0.0.1:{port}{SUB_PATH}"
        process.terminate()


class Handler(SimpleHTTPRequestHandler):
    """Sends the headers of ``headers.txt`` and the media types and lifetimes of ``uploads.tsv`` with every file."""

    protocol_version = "HTTP/1.1"

    def __init__(self, *request: object, site: Path, directory: str) -> None:
        self.lines = [line.split(": ", 1) for line in (site / "headers.txt").read_text(encoding="utf-8").splitlines()]
        rows = (line.split("\t") for line in (site / "uploads.tsv").read_text(encoding="utf-8").splitlines())
        self.uploads = {name: (content_type, cache) for name, content_type, cache in rows}
        super().__init__(*request, directory=directory)  # type: ignore[arg-type]

    def upload(self) -> tuple[str, str]:
        name = urlsplit(self.path).path.removeprefix(SUB_PATH) or "index.html"
        return self.uploads.get(name, ("text/html", "no-cache"))

    def guess_type(self, path: object) -> str:
        return self.upload()[0]

    def end_headers(self) -> None:
        for name, value in [*self.lines, ("Cache-Control", self.upload()[1])]:
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Keeps the tests' output clean."""


def pythons_own(site: Path, run: Path) -> Iterator[str]:
    place = run / SUB_PATH.strip("/")
    place.parent.mkdir(parents=True)
    place.symlink_to(site)
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Handler, site=site, directory=str(run))) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}{SUB_PATH}"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="module", params=["nginx", "Python's own"])
def server(
    request: pytest.FixtureRequest, site_dir: Path, nginx_and_types: list[str], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """The address of the demo's home page."""
    run = tmp_path_factory.mktemp("server")
    if request.param == "nginx" and nginx_and_types:
        yield from nginx(*nginx_and_types, site_dir, run)
        return
    if request.param == "nginx":
        warnings.warn("no nginx, and none could be had: the headers are tried with Python's own server", stacklevel=1)
    yield from pythons_own(site_dir, run)


@pytest.fixture
def visit(browser: Browser, server: str) -> Iterator[Callable[[str], Page]]:
    """Opens a page; the test fails on any error in the console, failed request or request that leaves the site."""
    contexts: list[BrowserContext] = []
    problems: list[str] = []

    # A flowchart alone names no icon, so the browser asks for the host's own, which is not the site's.
    icon = urljoin(server, "/favicon.ico")

    def complain(said: ConsoleMessage) -> None:
        if said.type == "error" and said.location["url"] != icon:
            problems.append(f"console: {said.text} {said.location['url']}")

    def visited(name: str = "") -> Page:
        context = browser.new_context(viewport={"width": 360, "height": 900})
        contexts.append(context)
        page = context.new_page()
        page.on("console", complain)
        page.on("pageerror", lambda error: problems.append(f"error: {error}"))
        page.on("requestfailed", lambda asked: problems.append(f"failed: {asked.url}"))
        page.on("request", lambda asked: None if asked.url.startswith(server) else problems.append(asked.url))
        page.on("response", lambda got: problems.append(f"{got.status}: {got.url}") if got.status >= 400 else None)
        page.goto(server + name)
        return page

    yield visited
    for context in contexts:
        context.close()
    assert not problems, "\n".join(problems)


def get(server: str, name: str) -> tuple[int, dict[str, str]]:
    parts = urlsplit(server + name)
    connection = HTTPConnection(parts.hostname or "", parts.port, timeout=30)
    connection.request("GET", parts.path)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer.status, {key.lower(): value for key, value in answer.getheaders()}


# -- What the server says ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["", PLAYBOOK, FLOW, "sw.js", "site.zip", "gone.html"])
def test_every_answer_has_the_headers(server: str, site_dir: Path, name: str) -> None:
    status, headers = get(server, name)
    assert status == (404 if name == "gone.html" else 200)
    wanted = (site_dir / "headers.txt").read_text(encoding="utf-8").splitlines()
    assert len(wanted) == 4
    for line in wanted:
        header, _, value = line.partition(": ")
        assert headers[header.lower()] == value
    directives = dict(part.split(maxsplit=1) for part in headers["content-security-policy"].split(";"))
    assert directives["default-src"] == directives["frame-ancestors"] == "'none'"
    assert "unsafe" not in headers["content-security-policy"]


def test_every_kind_of_file_comes_with_its_media_type_and_lifetime(server: str, site_dir: Path) -> None:
    """One file of each suffix and lifetime, against the list of uploads; RFC 9239 takes both names of JavaScript."""
    same = {"application/javascript": "text/javascript", "text/xml": "application/xml", "application/atom+xml": ""}
    rows = [line.split("\t") for line in (site_dir / "uploads.tsv").read_text(encoding="utf-8").splitlines()]
    kinds = {(Path(name).suffix, lifetime): (name, media_type) for name, media_type, lifetime in rows}
    assert {suffix for suffix, _ in kinds} >= {".html", ".js", ".css", ".svg", ".png", ".json", ".webmanifest", ".zip"}
    for (_, lifetime), (name, media_type) in kinds.items():
        status, headers = get(server, name)
        said, asked = (text.partition(";")[0] for text in (headers["content-type"], media_type))
        assert (status, headers["cache-control"]) == (200, lifetime), name
        assert name == "feed.xml" or same.get(said, said) == same.get(asked, asked), name


# -- What a browser makes of it ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_a_page_opens_without_an_error(visit: Callable[[str], Page], name: str) -> None:
    page = visit(name)
    assert page.locator("h1, title").first.text_content()


def test_a_flowchart_alone_keeps_its_style(visit: Callable[[str], Page]) -> None:
    """The background is that of the style within the file; a policy without its hash would drop it."""
    page = visit(FLOW)
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 253, 246)"


def test_the_manifest_is_one_that_a_browser_takes(visit: Callable[[str], Page], server: str) -> None:
    page = visit("")
    client = page.context.new_cdp_session(page)
    read = client.send("Page.getAppManifest")
    assert read["errors"] == []
    assert read["url"] == f"{server}manifest.webmanifest"


def test_search_finds_a_playbook_and_a_walk_goes_a_step(visit: Callable[[str], Page]) -> None:
    page = visit("")
    page.locator("form.search input").fill("fan top speed")
    page.locator(".search-results a[href*='fan-on-top-speed-only']").first.click()
    page.locator("a.button", has_text="Start: one step a screen").click()
    first = page.locator("h1").text_content()
    results = page.locator("#walk .results button")
    for _ in range(3):
        if page.locator("h1").text_content() != first:
            break
        results.first.click()
    expect(page.locator("h1")).not_to_have_text(first or "")


def test_the_service_worker_keeps_the_site(visit: Callable[[str], Page]) -> None:
    page = visit("")
    page.get_by_role("button", name="Keep this site on this device").click()
    expect(page.locator(".offline [role='status']")).to_contain_text(
        "The whole site is on this device", timeout=120_000
    )
    page.context.set_offline(True)
    page.reload()
    page.locator(".row-title").first.click()
    assert re.search(r"/playbook/[\w-]+\.html$", page.url)
    expect(page.locator("h1")).to_be_visible()


def test_no_other_page_can_frame_the_site(browser: Browser, server: str) -> None:
    """Content Security Policy Level 3, section 6.4.2.1: what a ``meta`` element cannot say."""
    context = browser.new_context()
    page = context.new_page()
    with page.expect_console_message(lambda said: "frame-ancestors" in said.text):
        page.set_content(f'<iframe src="{server}"></iframe>')
    context.close()
