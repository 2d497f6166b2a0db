"""Markdown: links that lead somewhere safe, and no raw HTML."""

from collections.abc import Callable
from pathlib import Path

import pytest

from builder.read.findings import Finding
from builder.read.library import read_library

Found = Callable[..., list[Finding]]

DO = "do: Measure every stage."


@pytest.mark.parametrize(
    "link",
    [
        "[a](https://example.org/x?y#z)",
        "[a](http://example.org)",
        "[a](mailto:a@example.org)",
        "<https://example.org>",
        "[a](fan.yaml)",
        "[a](../cabin/fan.yaml)",
        "[a](fan.yaml#new-plug)",
        "[a](#new-plug)",
        "[a](#measure-resistor)",
        "![a](plug.png)",
        "[a](data%20sheet.pdf)",
        "[a](../cabin/./plug.png)",
    ],
)
def test_links_that_lead_somewhere_are_let_pass(findings_of: Found, playbook: Callable[..., str], link: str) -> None:
    text = playbook(DO, f"do: 'See {link}.'")
    assert findings_of({"cabin/fan.yaml": text, "cabin/plug.png": "", "cabin/data sheet.pdf": ""}) == []


@pytest.mark.parametrize(
    ("link", "message", "hint"),
    [
        (
            "[a](javascript:alert(1))",
            "the link `javascript:alert(1)` has the scheme `javascript`",
            "link to http, https",
        ),
        ("[a](JAVAscript:x)", "the link `JAVAscript:x` has the scheme `javascript`", "link to http, https"),
        ("[a](data:text/html,x)", "the link `data:text/html,x` has the scheme `data`", "link to http, https"),
        ("[a](file:///etc/passwd)", "the link `file:///etc/passwd` has the scheme `file`", "link to http, https"),
        ("[a](tel:1)", "the link `tel:1` has the scheme `tel`", "link to http, https"),
        (
            "![a](https://example.org/a.png)",
            "the image `https://example.org/a.png` is fetched from elsewhere",
            "put the",
        ),
        ("![a](data:image/png,x)", "the image `data:image/png,x` is fetched from elsewhere", "put the picture"),
        ("[a](//example.org)", "the link `//example.org` is absolute", "write a path relative"),
        ("[a](/etc/passwd)", "the link `/etc/passwd` is absolute", "write a path relative"),
        ("[a](../../etc/passwd)", "the link `../../etc/passwd` leaves the library", "link to a file of the library"),
        ("[a](%2e%2e/%2e%2e/etc)", "the link `%2e%2e/%2e%2e/etc` leaves the library", "link to a file of the library"),
        ("![a](../../a.png)", "the link `../../a.png` leaves the library", "link to a file of the library"),
        ("[a](nothing.yaml)", "the link `nothing.yaml` leads to no file", "write a path relative"),
        ("[a]()", "the link `` leads to no file", "write a path relative"),
        ("[a](.)", "the link `.` leads to no file", "write a path relative"),
        ("[a](%00.png)", "the link `%00.png` leads to no file", "write a path relative"),
        ("[a](java&#10;script:x)", "the link `java%0Ascript:x` leads to no file", "write a path relative"),
        ("[a](../library.yaml)", "the link `../library.yaml` leads to no playbook", "link to a playbook"),
        (
            "[a](../catalogue/tools.yaml)",
            "the link `../catalogue/tools.yaml` leads to no playbook",
            "link to a playbook",
        ),
        ("[a](page.html)", "the link `page.html` leads to a file of an unwanted type", "types: .csv .gif"),
        ("[a](draw.svg)", "the link `draw.svg` leads to a file of an unwanted type", "types: .csv .gif"),
        ("[a](#nothing)", "the link `#nothing` leads to no step or ending", "name one of this playbook"),
        ("[a](#)", "the link `#` leads to no step or ending", "name one of this playbook"),
    ],
)
def test_links_that_do_not_are_found(
    findings_of: Found, playbook: Callable[..., str], link: str, message: str, hint: str
) -> None:
    files = {"cabin/fan.yaml": playbook(DO, f"do: 'See {link}.'"), "cabin/page.html": "", "cabin/draw.svg": ""}
    (finding,) = findings_of(files)
    assert (finding.rule, finding.line, finding.severity) == ("bad-link", 34, "error")
    assert finding.message == message
    assert finding.hint.startswith(hint)


def test_a_path_that_no_file_system_takes_leads_to_no_file(found: Found) -> None:
    (finding,) = found(DO, f"do: '[a]({'x' * 5000}.png)'")
    assert finding.message.endswith("leads to no file")


@pytest.mark.parametrize("target", ["outside.png", "around.png"])
def test_links_through_symbolic_links_stay_in_the_library(
    make_library: Callable[..., Path], playbook: Callable[..., str], target: str
) -> None:
    root = make_library({"cabin/fan.yaml": playbook(DO, f"do: '[a]({target})'"), "../secret.png": ""})
    (root / "cabin/outside.png").symlink_to(root.parent / "secret.png")
    (root / "cabin/around.png").symlink_to("around.png")
    (finding,) = read_library(root).findings
    assert finding.message.endswith("leaves the library" if target == "outside.png" else "leads to no file")


def test_a_link_is_found_at_its_target(found: Found) -> None:
    (finding,) = found(DO, "do: |\n      First.\n\n      Then [a](tel:1).")
    assert (finding.line, finding.column, finding.text) == (37, 16, "      Then [a](tel:1).")


def test_a_link_that_is_written_otherwise_is_found_at_its_text(found: Found) -> None:
    (finding,) = found(DO, "do: '[a](&#116;el:1)'")
    assert (finding.line, finding.column) == (34, 9)


def test_links_of_endings_are_looked_at_too(found: Found) -> None:
    (finding,) = found("{title: Fit a repair plug,", "{title: Fit a repair plug, do: '[a](tel:1)',")
    assert (finding.rule, finding.line) == ("bad-link", 41)


@pytest.mark.parametrize("piece", ["<b>", "<br/>", "<!-- x -->", "<script>", "<img src=x onerror=y>", "<?x?>", "</p>"])
def test_raw_html_is_found(found: Found, piece: str) -> None:
    (finding,) = found(DO, f"do: 'Measure {piece} it.'")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("raw-html", 34, 18, "error")
    assert finding.message == f"raw HTML `{piece}`"
    assert finding.hint == "write Markdown; put code and signs such as `<` in backticks"


def test_a_block_of_html_is_found(found: Found) -> None:
    (finding,) = found(DO, "do: |\n      <div>\n      [a](javascript:x)\n      </div>")
    assert (finding.rule, finding.line, finding.column) == ("raw-html", 35, 7)


def test_plain_signs_are_no_html(found: Found) -> None:
    assert found(DO, "do: 'Below 5 V < 12 V, `<b>` is code, a <- b.'") == []


@pytest.mark.parametrize(("fragment", "rules"), [("look-at-plug", []), ("new-plug", []), ("gone", ["bad-link"])])
def test_a_link_into_another_playbook_leads_to_a_step_or_an_ending(
    findings_of: Found, playbook: Callable[..., str], fragment: str, rules: list[str]
) -> None:
    text = playbook("Measure every stage.", f"See [there](other.yaml#{fragment}).")
    found = findings_of({"cabin/fan.yaml": text, "cabin/other.yaml": playbook()})
    assert [one.rule for one in found] == rules
    assert all("leads to no step or ending of `other`" in one.message for one in found)


def test_a_playbook_with_errors_of_its_own_is_not_asked_what_it_has(
    findings_of: Found, playbook: Callable[..., str]
) -> None:
    text = playbook("Measure every stage.", "See [there](other.yaml#gone).")
    found = findings_of({"cabin/fan.yaml": text, "cabin/other.yaml": playbook("cost: 0", "cost: x")})
    assert [one.rule for one in found] == ["notation"]


def test_a_picture_says_what_it_shows(findings_of: Found, playbook: Callable[..., str]) -> None:
    files = {"cabin/plug.JPG": b"x"}
    text = "Measure every stage."
    named = playbook(text, "See ![the brown plug](plug.JPG).")
    assert findings_of({**files, "cabin/fan.yaml": named}) == []
    (found,) = findings_of({**files, "cabin/fan.yaml": playbook(text, "See ![](plug.JPG).")})
    assert (found.rule, found.hint) == ("no-alt", "write `![what it shows](plug.JPG)`")
