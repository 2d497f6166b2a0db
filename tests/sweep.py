"""Whether this run is a long sweep, which tries what a usual run leaves out of a long list of cases."""

import os
from typing import Final

SWEEP: Final = "DROPLIGHT_EXAMPLES" in os.environ
