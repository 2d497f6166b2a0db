"""How much a run tries: a usual one, or a long sweep, which tries what that leaves out of a long list of cases."""

import os
from typing import Final

EXAMPLES: Final = int(os.environ.get("DROPLIGHT_EXAMPLES", "1"))
"""How many times as many examples as usual a property test tries."""

SWEEP: Final = "DROPLIGHT_EXAMPLES" in os.environ
