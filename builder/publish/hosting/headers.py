"""Headers: what a web server may send with every file of the site, so that a page is safe before it is read."""

import base64
import hashlib
from collections.abc import Mapping
from typing import Final

from builder.draw.svg import ALONE
from builder.publish.pages.pages import POLICY

HEADERS_FILE: Final = "headers.txt"

_STYLE_HASH: Final = base64.b64encode(hashlib.sha256(ALONE.encode()).digest()).decode("ascii")

HEADER_POLICY: Final = (
    POLICY.replace("style-src 'self'", f"style-src 'self' 'sha256-{_STYLE_HASH}'") + "; frame-ancestors 'none'"
)
"""The policy of the pages, and what only a header can say: flowcharts that open alone may keep their own style (by its
hash, Content Security Policy Level 3, section 6.7.3.3), and no page of others may frame the site."""

HEADERS: Final[Mapping[str, str]] = {
    "Content-Security-Policy": HEADER_POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


def headers_text() -> str:
    """One ``Name: value`` a line."""
    return "".join(f"{name}: {value}\n" for name, value in HEADERS.items())
