"""Limits: the most that a library may hold of anything, in one place and each with its reason.

Whoever writes for owners is far below them; they are for files that were made to stop, slow or bloat a site. The
schema, the page *Write a playbook* and the findings say them as they stand here, and tests try each at the limit and
one above. Within them a playbook costs at most 2 s of work, 200 MB of memory and 20 MB of the site.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Limit:
    """At most ``most`` of ``what``, since ``why``."""

    what: str
    most: int
    why: str

    @property
    def hint(self) -> str:
        """What a finding says of it."""
        return f"the most is {self.most}: {self.why}"


FILE: Final = Limit("bytes of a file", 1_000_000, "a larger one cannot be reviewed")
VALUES: Final = Limit("values of a file", 50_000, "reading it would take the memory of whoever builds the site")
TEXT: Final = Limit("characters of a text", 1000, "it is shown in lists, in charts and on sheets")
PROSE: Final = Limit("characters of what to do at a step", 10_000, "nobody follows more with dirty hands")
NAME: Final = Limit("characters of a name", 64, "it becomes the name of a file")
ENTRIES: Final = Limit("entries of a list", 50, "each is shown wherever the list is")
AREAS: Final = Limit("areas", 50, "each stands on the home page")
CODES: Final = Limit("trouble codes of a playbook", 50, "each has a page that shows the playbook")
WAS: Final = Limit("names that something had before", 10, "each has a page of its own")
CAUSES: Final = Limit("causes of a playbook", 50, "the odds are worked out for each at every step")
STEPS: Final = Limit("steps of a playbook", 200, "a way that is longer is several playbooks")
RESULTS: Final = Limit("results of a step", 20, "nobody tells more apart")
EDGES: Final = Limit("results of all steps of a playbook", 1000, "the odds are worked out for each under every cause")
ENDINGS: Final = Limit("endings of a playbook", 100, "each stands on its page with all that it needs")
KINDS: Final = Limit("kinds of tools, or of access jobs, that a playbook needs", 25, "each is paid once a path")
FILES: Final = Limit("pictures and other files that a playbook leads to", 12, "an owner takes them along")
FILE_BYTES: Final = Limit("bytes of a picture or another file", 1_000_000, "an owner takes it along on a phone")
SHOWN: Final = Limit(
    "characters that a playbook's page shows",
    400_000,
    "what it names of the catalogue counts wherever it is shown, and a phone must open it",
)
DIGITS: Final = Limit(
    "binary digits of the chances along a path",
    12_000,
    "chances are exact, and each step whose chances add up to 100 % only roughly adds digits",
)
DRAWN: Final = Limit(
    "places that the lines of a flowchart pass", 400, "nobody can read it, and laying it out takes minutes"
)
FOUND: Final = Limit("findings of one rule in a file", 100, "more help nobody")
PRINTED: Final = Limit("findings that are shown", 1000, "more help nobody")
PLAYBOOKS: Final = Limit("playbooks of a library", 20_000, "no host takes a larger site")

LIMITS: Final = (
    FILE, VALUES, TEXT, PROSE, NAME, ENTRIES, AREAS, CODES, WAS, CAUSES, STEPS, RESULTS, EDGES, ENDINGS,
    KINDS, FILES, FILE_BYTES, SHOWN, DIGITS, DRAWN, FOUND, PRINTED, PLAYBOOKS,
)  # fmt: skip
"""All of them, in the order in which they are shown."""
