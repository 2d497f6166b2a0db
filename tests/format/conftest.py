"""The format is tried on the library that the tests of reading make."""

from tests.read.conftest import brief, findings_of, found, make_library, playbook

__all__ = ["brief", "findings_of", "found", "make_library", "playbook"]
