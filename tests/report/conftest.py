"""Reports are written of the comparisons that the tests of reckoning make, and of libraries that are read."""

from tests.publish.conftest import committed_library, run_git
from tests.reckon.conftest import change, make_library, reckon, side, total, worn

__all__ = ["change", "committed_library", "make_library", "reckon", "run_git", "side", "total", "worn"]
