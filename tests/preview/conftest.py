"""The preview follows the small library of the tests of publishing."""

from tests.publish.conftest import horn, small_library, tree

__all__ = ["horn", "small_library", "tree"]
