"""Prose: what is found in Markdown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.prose import Link, links_and_html, plain_text


def targets(text: str) -> list[tuple[str, str]]:
    return [(link.kind, link.target) for link in links_and_html(text)[0]]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[a](b.yaml)", [("link", "b.yaml")]),
        ("![a](b.png)", [("image", "b.png")]),
        ("[![a](b.png)](c.yaml)", [("link", "c.yaml"), ("image", "b.png")]),
        ("[a][b]\n\n[b]: c.yaml", [("link", "c.yaml")]),
        ("<https://example.org>", [("link", "https://example.org")]),
        ("<javascript:alert(1)>", [("link", "javascript:alert(1)")]),
        ("| a |\n|---|\n| [b](c) |", [("link", "c")]),
        ("- > [b](c)", [("link", "c")]),
        ("`[a](b)`", []),
        ("    [a](b)", []),
        ("\\[a](b)", []),
    ],
)
def test_links_and_images_are_found_wherever_they_stand(text: str, found: list[tuple[str, str]]) -> None:
    assert targets(text) == found


# Ways to write a scheme so that a filter overlooks it, common knowledge of web security (from memory). What a browser
# makes of each is by the URL standard (url.spec.whatwg.org): case is folded; tabs and newlines are dropped.
@pytest.mark.parametrize(
    "text",
    [
        "[a](javascript:x)",
        "[a](JaVaScRiPt:x)",
        "[a](&#106;avascript:x)",
        "[a](&#x6A;avascript&colon;x)",
        "[a](java\\script:x)",
        "[a](<javascript:x>)",
        "[a](< javascript:x>)",
        "[a]\n\n[a]: javascript:x",
        "[a](data:text/html,x)",
        "[a](vbscript:x)",
        "[a](file:///etc/passwd)",
        "[a](java&#10;script:x)",
        "[a](java&Tab;script:x)",
        "[a](&#1;javascript:x)",
        "[a](javascript&#58;x)",
        "[a](//example.org)",
        "[a](/\\example.org)",
        "[a](\\\\\\\\example.org)",
    ],
)
def test_no_smuggled_scheme_passes_for_a_web_address(text: str) -> None:
    ((link,), _) = links_and_html(text)
    assert link.scheme not in {"http", "https", "mailto"}


@pytest.mark.parametrize(
    ("target", "scheme", "is_relative"),
    [
        ("b.yaml", "", True),
        ("#step", "", True),
        ("../b.yaml", "", True),
        ("//host", "", False),
        ("/b", "", False),
        ("\\b", "", False),
        ("HTTPS://example.org", "https", False),
        ("mailto:a@example.org", "mailto", False),
        ("//[", "?", False),
    ],
)
def test_schemes_and_relative_targets(target: str, scheme: str, is_relative: bool) -> None:
    link = Link("link", target)
    assert (link.scheme, link.is_relative) == (scheme, is_relative)


@pytest.mark.parametrize(
    ("target", "path"),
    [
        ("b.yaml", "cabin/b.yaml"),
        ("../cooling/b.yaml#x", "cooling/b.yaml"),
        ("b%20c.yaml?x", "cabin/b c.yaml"),
        ("%2e%2e/%2e%2e/b", "../b"),
    ],
)
def test_a_relative_target_is_a_path_in_the_library(target: str, path: str) -> None:
    assert Link("link", target).path_from("cabin") == path


@pytest.mark.parametrize(
    ("text", "piece"),
    [
        ("a <b>c</b>", "<b>"),
        ("<div>\nx\n</div>", "<div>"),
        ("<!-- a -->", "<!-- a -->"),
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("<?php x ?>", "<?php x ?>"),
    ],
)
def test_raw_html_is_found(text: str, piece: str) -> None:
    assert links_and_html(text)[1][0] == piece


@pytest.mark.parametrize("text", ["`<b>`", "2 < 3 > 1", "a <- b", "```\n<b>\n```"])
def test_code_and_plain_signs_are_no_html(text: str) -> None:
    assert links_and_html(text)[1] == ()


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("timing **belt**", "timing belt"),
        ("ja*ck*", "jack"),
        ("j&#97;ck", "jack"),
        ("[jack](a.yaml)", "jack"),
        ("`jack`", "jack"),
        ("timing\nbelt", "timing\nbelt"),
        ("# One\n\nTwo", "One\nTwo\n"),
    ],
)
def test_plain_text_is_what_one_reads(text: str, plain: str) -> None:
    assert plain_text(text).rstrip("\n") == plain.rstrip("\n")


@given(st.text())
def test_any_text_is_read(text: str) -> None:
    links, html = links_and_html(text)
    assert all(link.scheme is not None and link.is_relative in {True, False} for link in links)
    assert all(html)
    assert isinstance(plain_text(text), str)
