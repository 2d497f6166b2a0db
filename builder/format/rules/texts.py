"""Rules about texts."""

from typing import Final

from builder.format.rules.rule import FUSE, rule

TEXTS: Final = (
    rule(
        "bad-link",
        "A link leads to a step, a file or a playbook of the library, or openly to the web.",
        "do: Put it back where [you listened](#hear).",
        "do: Put it back where [you listened](#listen).",
        FUSE,
    ),
    rule(
        "raw-html",
        "Text is Markdown, without HTML.",
        "do: Measure <b>across</b> it.",
        "do: Measure **across** it.",
        FUSE,
    ),
)
