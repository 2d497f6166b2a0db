"""Trouble codes as pages show them: what their structure says, and what the library says they mean."""

from collections.abc import Callable

Gettext = Callable[[str], str]


def controls(gettext: Gettext) -> dict[str, str]:
    """Who controls a code, as people read it, by what :mod:`builder.read.codes` calls it."""
    _ = gettext
    return {
        "standard": _("the standard: the code means the same on every car"),
        "manufacturer": _("the manufacturer: the workshop manual says what it means"),
        "reserved": _("the standard, reserved for later"),
    }
