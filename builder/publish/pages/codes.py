"""Trouble codes as pages show them: what their structure says, and what the library says they mean."""

from collections.abc import Callable

from builder.read.codes import TroubleCode

Gettext = Callable[[str], str]


def controls(gettext: Gettext) -> dict[str, str]:
    """Who controls a code, as people read it, by what :mod:`builder.read.codes` calls it."""
    _ = gettext
    return {
        "standard": _("the standard: the code means the same on every car"),
        "manufacturer": _("the manufacturer: the workshop manual says what it means"),
        "reserved": _("the standard, reserved for later"),
    }


def code_facts(code: TroubleCode, gettext: Gettext) -> list[tuple[str, str]]:
    """What the structure of a code says, each with its label."""
    _ = gettext
    facts = [(_("System"), _(code.system)), (_("Controlled by"), controls(gettext)[code.control])]
    return facts + ([(_("Subsystem"), _(code.subsystem))] if code.subsystem else [])
