"""The preview: pages as a build writes them, for this machine alone, the last good state while there are errors."""

import contextlib
import http.client
import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread
from typing import Any, Final
from urllib.parse import quote

import pytest

from builder.preview.preview import Preview
from builder.preview.serve import Server
from builder.read.library import read_playbook

Run = Callable[..., Any]
Plain = dict[str, Any]
Ask = Callable[..., "tuple[int, dict[str, str], bytes]"]

ROOT: Final = Path(__file__).resolve().parents[2]
ONLY_BUILT: Final = {"site.zip", "sw.js", "offline.json", "headers.txt", "uploads.tsv", ".nojekyll", ".droplight"}
CATALOGUE: Final = {
    "tools": {"meter": {"name": "Multimeter", "price": "25"}, "pliers": {"name": "Pliers", "price": "12"}},
    "hazards": {"hot": {"name": "Hot", "signal": "caution", "harm": "Burns.", "avoid": "Wait.", "words": ["scald"]}},
}


def save(library: Path, name: str, content: Any) -> None:
    """Write a file of the library so that its stamp is another one, however coarse the clock of the file system is."""
    path = library / f"{name}.yaml"
    text = content if isinstance(content, str) else json.dumps(content)
    path.parent.mkdir(parents=True, exist_ok=True)
    old = path.stat().st_mtime_ns if path.exists() else 0
    path.write_text(text, encoding="utf-8")
    if old:
        os.utime(path, ns=(old + 1_000_000_000, old + 1_000_000_000))


def text_of(preview: Preview, page: str) -> str:
    answer = preview.answer(page)
    assert answer.status == 200, page
    return answer.body.decode()


def panel_of(preview: Preview) -> str:
    return preview.state_after("", 0).panel


@pytest.fixture
def library(tmp_path: Path, write_library: Run, horn: Plain) -> Path:
    """Four playbooks: one uses a tool, one hands over to another, one links to another."""
    meter = {**horn, "steps": {**horn["steps"], "look": {**horn["steps"]["look"], "tools": ["meter"]}}}
    under = {**horn["steps"]["under"], "results": {"green": {"expect": "Green", "next": {"playbook": "horn"}}}}
    look = {**horn["steps"]["look"], "tools": ["pliers"], "hazards": ["hot"]}
    over = {**horn, "steps": {"look": look, "under": under}, "endings": {"fuse": horn["endings"]["fuse"]}}
    over["causes"] = {"fuse": {"name": "Blown fuse", "share": "90%"}}
    linked = {**horn, "steps": {**horn["steps"], "look": {**horn["steps"]["look"], "do": "See [it](horn.yaml)."}}}
    books = {"area/horn": {**horn, "title": "Horn"}, "area/meter": meter, "area/over": over, "area/linked": linked}
    return write_library(tmp_path / "library", books, catalogue=CATALOGUE)


@pytest.fixture
def preview(library: Path) -> Preview:
    """A preview of a library without findings."""
    preview = Preview(library)
    preview.update()
    assert preview.findings == ()
    return preview


# -- Pages -------------------------------------------------------------------------------------------------------------


def test_every_page_is_what_a_build_writes_but_for_the_script_of_the_preview(
    preview: Preview, library: Path, tmp_path: Path, run_builder: Run, tree: Run
) -> None:
    """The home page says how large the finished site is, which a preview does not know."""
    site = tmp_path / "site"
    assert run_builder("build", "--library", library, "--out", site).returncode == 0
    built = {name: data for name, data in tree(site).items() if name not in ONLY_BUILT}
    assert len(built) > 30
    for name, data in built.items():
        lines = preview.answer(name).body.splitlines()
        shown = [line for line in lines if b".preview/" not in line]
        if name == "version.js":  # the preview's pages say no version, since they change with every save
            assert b'"contents":""' in preview.answer(name).body
        elif name == "index.html":
            differs = [old for new, old in zip(shown, data.splitlines(), strict=True) if new != old]
            assert [line for line in differs if b"Take the site along" not in line] == []
        else:
            assert shown == data.splitlines(), name


def test_the_script_of_the_preview_is_in_pages_and_in_nothing_else(preview: Preview) -> None:
    assert b"/.preview/preview.js" in preview.answer("playbook/horn.html").body.partition(b"</head>")[0]
    for name in ("flow/horn.svg", "data/playbook/horn.js", "data/search.js", "manifest.webmanifest"):
        assert b".preview" not in preview.answer(name).body
    assert preview.answer(".preview/preview.js").status == 200
    for name in (".preview/nothing.js", ".preview/../templates/base.html", ".preview/", ".preview/."):
        assert preview.answer(name) == (404, "404.txt", b"")


@pytest.mark.parametrize("name", sorted(ONLY_BUILT))
def test_what_only_a_finished_site_has_is_not_there(preview: Preview, name: str) -> None:
    assert preview.answer(name).status == 404


def test_nothing_is_written(library: Path, tmp_path: Path, tree: Run) -> None:
    before = tree(tmp_path)
    preview = Preview(library)
    preview.update()
    for name in ("index.html", "playbook/horn.html", "safety.html", "nothing.html"):
        preview.answer(name)
    assert tree(tmp_path) == before


def test_pictures_of_a_page_are_served_and_no_other_file_of_the_library(
    library: Path, preview: Preview, horn: Plain
) -> None:
    (library / "area" / "a plug.png").write_bytes(b"\x89PNG\r\n\x1a\n\0\xff")
    (library / "area" / "secret.png").write_bytes(b"not for pages")
    look = {**horn["steps"]["look"], "do": "![A plug](a%20plug.png)"}
    save(library, "area/horn", {**horn, "steps": {**horn["steps"], "look": look}})
    preview.update()
    assert "files/area/a%20plug.png" in text_of(preview, "playbook/horn.html")
    assert preview.answer("files/area/a plug.png").body == b"\x89PNG\r\n\x1a\n\0\xff"
    for name in ("files/area/secret.png", "files/library.yaml", "files/../library.yaml", "library.yaml"):
        assert preview.answer(name).status == 404


# -- Saves -------------------------------------------------------------------------------------------------------------


def test_a_save_shows_on_the_page_and_wherever_the_playbook_is_named(
    library: Path, preview: Preview, horn: Plain
) -> None:
    before = preview.state_after("", 0)
    assert not preview.is_stale()
    save(library, "area/horn", {**horn, "title": "The horn is silent"})
    assert preview.is_stale()
    preview.update()
    assert not preview.is_stale()
    for page in ("playbook/horn.html", "index.html", "playbook/over.html", "area/area.html"):
        assert "The horn is silent" in text_of(preview, page), page
    assert "silent" in text_of(preview, "data/search.js")
    after = preview.state_after(before.state, 0)
    assert after.site != before.site
    assert after.state != before.state


def test_errors_leave_the_last_good_pages_and_stand_in_the_panel_until_they_are_mended(
    library: Path, preview: Preview, horn: Plain
) -> None:
    before = preview.state_after("", 0)
    save(library, "area/horn", {**horn, "start": "<i>nowhere</i>"})
    preview.update()
    assert "<h1>Horn</h1>" in text_of(preview, "playbook/horn.html")
    panel = panel_of(preview)
    assert "<details open>" in panel
    assert "&lt;i&gt;nowhere&lt;/i&gt;" in panel
    assert "<i>nowhere" not in panel
    finding = next(one for one in preview.findings if one.severity == "error")
    assert f"{finding.file}:{finding.line}:{finding.column}" in panel
    assert preview.state_after("", 0).site == before.site
    save(library, "area/horn", horn)
    preview.update()
    assert panel_of(preview) == ""
    assert "<h1>The horn is dead</h1>" in text_of(preview, "playbook/horn.html")


def test_warnings_stand_in_a_panel_that_is_closed(library: Path, preview: Preview, horn: Plain) -> None:
    save(library, "catalogue/tools", {**CATALOGUE["tools"], "spare": {"name": "Spare", "price": "1"}})
    preview.update()
    assert panel_of(preview).startswith("<details>\n<summary>")
    assert "nothing uses `spare`" in panel_of(preview)


def test_a_library_that_is_bad_from_the_start_shows_its_findings_and_comes_up_when_mended(
    tmp_path: Path, write_library: Run, horn: Plain
) -> None:
    library = write_library(tmp_path / "library", {"area/horn": {**horn, "start": "nowhere"}})
    preview = Preview(library)
    preview.update()
    answer = preview.answer("playbook/horn.html")
    assert answer.status == 503
    assert b"nowhere" in answer.body
    assert b"/.preview/preview.js" in answer.body
    waited = preview.state_after("", 0).site
    save(library, "area/horn", horn)
    preview.update()
    assert "The horn is dead" in text_of(preview, "playbook/horn.html")
    assert preview.state_after("", 0).site != waited


def test_a_library_that_vanishes_leaves_the_pages(library: Path, preview: Preview, tmp_path: Path) -> None:
    library.rename(tmp_path / "elsewhere")
    preview.update()
    assert "Horn" in text_of(preview, "playbook/horn.html")
    assert panel_of(preview)
    (tmp_path / "elsewhere").rename(library)
    preview.update()
    assert panel_of(preview) == ""


def test_a_theme_is_followed_and_its_faults_are_named(library: Path, tmp_path: Path) -> None:
    footer = tmp_path / "theme" / "templates" / "footer.html"
    footer.parent.mkdir(parents=True)
    footer.write_text("<p>One</p>", encoding="utf-8")
    preview = Preview(library, tmp_path / "theme")
    preview.update()
    assert "<p>One</p>" in text_of(preview, "index.html")
    footer.write_text("<p>Two {{ nobody }}</p>", encoding="utf-8")
    assert preview.is_stale()
    preview.update()
    answer = preview.answer("index.html")
    assert answer.status == 500
    assert b"footer.html:1: &#39;nobody&#39; is undefined" in answer.body
    footer.write_text("<p>Three</p>", encoding="utf-8")
    preview.update()
    assert "<p>Three</p>" in text_of(preview, "index.html")
    (tmp_path / "theme" / "assets").mkdir()
    (tmp_path / "theme" / "assets" / "card.css").write_text(".banner { display: none }", encoding="utf-8")
    preview.update()
    assert "hides the safety banner" in panel_of(preview)
    assert "<p>Three</p>" in text_of(preview, "index.html")


# -- What is read again ------------------------------------------------------------------------------------------------


@pytest.fixture
def read_by_update(preview: Preview) -> Callable[[], set[str]]:
    """Updates the preview and gives the slugs of the playbooks that were read on the way."""

    def update() -> set[str]:
        read: set[str] = set()

        def run(function: Any, things: Any, shared: Any) -> Any:
            if function is read_playbook:
                read.update(file.slug for file in things)
            return [function(shared, thing) for thing in things]

        preview.update(run)
        return read

    return update


def test_only_what_a_save_touches_is_read_again(library: Path, read_by_update: Run, horn: Plain) -> None:
    assert read_by_update() == set()
    save(library, "area/horn", {**horn, "title": "Changed"})
    assert read_by_update() == {"horn"}
    assert read_by_update() == set()
    tools = {**CATALOGUE["tools"], "meter": {"name": "Multimeter", "price": "30"}}
    save(library, "catalogue/tools", tools)
    assert read_by_update() == {"meter"}
    save(library, "area/new", horn)
    assert read_by_update() == {"new", "linked"}
    (library / "area" / "new.yaml").unlink()
    assert read_by_update() == {"linked"}
    (library / "area" / "horn.yaml").rename(library / "area" / "trumpet.yaml")
    assert read_by_update() == {"trumpet", "linked", "over"}


def test_words_of_a_hazard_and_settings_touch_every_playbook(library: Path, read_by_update: Run) -> None:
    everything = {"horn", "meter", "over", "linked"}
    hot = {**CATALOGUE["hazards"]["hot"], "words": ["scald", "fuse"]}
    save(library, "catalogue/hazards", {"hot": hot})
    assert read_by_update() == everything
    settings = json.loads((library / "library.yaml").read_text(encoding="utf-8"))
    save(library, "library", {**settings, "labour_rate": "70"})
    assert read_by_update() == everything


def test_a_catalogue_that_cannot_be_read_for_the_moment_does_not_cost_a_new_start(
    library: Path, preview: Preview, read_by_update: Run, horn: Plain
) -> None:
    save(library, "catalogue/tools", "meter: {name: [")
    assert read_by_update() == set()
    save(library, "area/meter", {**horn, "title": "Saved meanwhile"})
    assert read_by_update() == {"meter"}
    save(library, "catalogue/tools", CATALOGUE["tools"])
    assert read_by_update() == {"meter"}
    assert "Saved meanwhile" in text_of(preview, "playbook/meter.html")


def test_findings_after_any_saves_are_those_of_a_fresh_start(library: Path, preview: Preview, horn: Plain) -> None:
    step = {**horn["steps"]["look"], "tools": ["pliers", "metre"], "do": "See [it](gone.yaml) and scald."}
    saves: list[tuple[str, Any]] = [
        ("area/horn", {**horn, "steps": {**horn["steps"], "look": step}}),
        ("catalogue/tools", {"metre": {"name": "Metre", "price": "1"}}),
        ("area/gone", horn),
        ("catalogue/hazards", {"hot": {**CATALOGUE["hazards"]["hot"], "words": ["sound"]}}),
        ("catalogue/tools", CATALOGUE["tools"]),
        ("area/horn", "title: ["),
        ("area/horn", horn),
    ]
    for name, content in saves:
        save(library, name, content)
        preview.update()
        fresh = Preview(library)
        fresh.update()
        assert preview.findings == fresh.findings, name


# -- Serving -----------------------------------------------------------------------------------------------------------


@pytest.fixture
def server(preview: Preview) -> Iterator[Server]:
    with Server(preview, 0) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server
        server.shutdown()
        thread.join()


@pytest.fixture
def ask(server: Server) -> Ask:
    """Asks the server: status, headers and body."""

    def ask(target: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
        with contextlib.closing(http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=20)) as connection:
            connection.putrequest(method, target, skip_host="Host" in headers)
            for name, value in headers.items():
                connection.putheader(name, value)
            connection.endheaders()
            answer = connection.getresponse()
            return answer.status, dict(answer.getheaders()), answer.read()

    return ask


def test_the_server_listens_on_loopback_alone(server: Server) -> None:
    assert server.socket.getsockname()[0] == "127.0.0.1"
    assert server.address == f"http://127.0.0.1:{server.server_port}/"


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "127.0.0.1.evil.example", "", "[::1]:80"])
@pytest.mark.parametrize("target", ["/", "/.preview/state"])
def test_a_request_by_another_name_is_refused(ask: Ask, host: str, target: str) -> None:
    """Against DNS rebinding; 421 Misdirected Request is of RFC 9110, 15.5.20."""
    status, _, body = ask(target, Host=host)
    assert status == 421
    assert b"orn" not in body


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "LOCALHOST:9000"])
def test_a_request_by_the_machines_own_name_is_answered(ask: Ask, host: str) -> None:
    assert ask("/", Host=host)[0] == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "NONSENSE"])
def test_only_get_and_head_are_allowed(ask: Ask, method: str) -> None:
    """RFC 9110, 15.5.6: 405 names what is allowed."""
    status, headers, _ = ask("/", method)
    assert (status, headers["Allow"]) == (405, "GET, HEAD")


def test_head_gives_the_headers_alone(ask: Ask) -> None:
    status, headers, body = ask("/playbook/horn.html", "HEAD")
    got = ask("/playbook/horn.html")
    assert (status, body) == (200, b"")
    assert headers["Content-Length"] == str(len(got[2])) == got[1]["Content-Length"]


def test_headers_keep_pages_of_others_out(ask: Ask) -> None:
    headers = ask("/data/search.js")[1]
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cache-Control"] == "no-store"
    assert headers["Content-Type"] == "text/javascript; charset=utf-8"
    assert "Access-Control-Allow-Origin" not in headers
    assert "script-src 'self'" in headers["Content-Security-Policy"]


@pytest.mark.parametrize(
    "target",
    [
        "/../library.yaml",
        "/files/../library.yaml",
        "/files/%2e%2e/library.yaml",
        "/..%2flibrary.yaml",
        "//etc/passwd",
        "/files//etc/passwd",
        "/assets/..%5c..%5clibrary.yaml",
        "/%00",
        "/%ff%fe",
        "/playbook/",
        "/playbook/horn",
        "/path/horn--0000000000.html",
        quote("/плейбук/рожок.html"),
    ],
)
def test_no_path_leads_anywhere_but_to_files_of_the_site(ask: Ask, target: str) -> None:
    status, headers, body = ask(target)
    assert (status, headers["Content-Type"]) == (404, "text/html; charset=utf-8")
    assert b"No such page" in body


def test_a_page_that_asks_for_news_is_answered_when_there_are_some(ask: Ask, server: Server, library: Path) -> None:
    seen = json.loads(ask("/.preview/state")[2])
    said: list[Any] = []
    asking = Thread(target=lambda: said.append(json.loads(ask(f"/.preview/state?seen={seen['state']}")[2])))
    asking.start()
    save(library, "area/horn", "title: [")
    server.preview.update()
    asking.join(timeout=15)
    assert said[0]["state"] != seen["state"]
    assert said[0]["site"] == seen["site"]
    assert "area/horn.yaml:1:" in said[0]["panel"]


# -- The command -------------------------------------------------------------------------------------------------------


@contextlib.contextmanager
def running(library: Path, cwd: Path) -> Iterator["tuple[subprocess.Popen[str], str]"]:
    """The command and the address that it prints."""
    command = [sys.executable, "-m", "builder", "preview", "--library", str(library)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    pipes = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, cwd=cwd, env=environment, text=True, **pipes) as process:  # type: ignore[call-overload]
        try:
            yield process, process.stdout.readline().strip()
        finally:
            process.kill()


def test_the_command_prints_its_address_shows_findings_and_ends_quietly(library: Path, tmp_path: Path) -> None:
    with running(library, tmp_path) as (process, address):
        assert address.startswith("http://127.0.0.1:")
        assert process.stderr.readline() == "no findings\n"
        save(library, "area/horn", "title: [")
        assert f"{library.as_posix()}/area/horn.yaml:1:" in process.stderr.readline()
        process.send_signal(signal.SIGINT)
        rest, errors = process.communicate(timeout=30)
        assert (process.returncode, rest) == (0, "")  # how one ends it: nothing was cut short
        assert "Traceback" not in errors
        assert "Aborted" not in errors


def test_a_port_that_is_taken_is_the_machines_fault(library: Path, run_builder: Run) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run_builder("preview", "--library", library, "--port", str(port))
    assert done.returncode == 3
    assert f"port {port}: " in done.stderr


@pytest.mark.parametrize("arguments", [["--port", "70000"], ["--port", "x"], ["--library", "nowhere"]])
def test_wrong_usage(arguments: list[str], run_builder: Run) -> None:
    assert run_builder("preview", *arguments).returncode == 2
