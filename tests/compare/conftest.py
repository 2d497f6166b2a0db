"""Comparisons are made from the libraries that the tests of reckoning make."""

from tests.reckon.conftest import catalogue, change, ladder, make_library, playbooks, reckon, side, total, worn

__all__ = ["catalogue", "change", "ladder", "make_library", "playbooks", "reckon", "side", "total", "worn"]
