"""``python -m builder``: the same door as the ``droplight`` command."""

from builder.cli import main

main()
