"""The door: commands, exit codes, progress. Results go to stdout, findings to stderr."""

import click

from builder import __version__
from builder.commands.build import build
from builder.commands.check import check
from builder.commands.compare import compare_libraries
from builder.commands.draft import draft
from builder.commands.migrate import migrate
from builder.commands.order import order
from builder.commands.preview import preview_library
from builder.commands.schema import schema
from builder.commands.survey import survey
from builder.commands.totals import totals
from builder.refusals import Door

COMMANDS = (
    build,
    check,
    totals,
    order,
    compare_libraries,
    survey,
    draft,
    preview_library,
    schema,
    migrate,
)


@click.group(cls=Door, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="droplight")
def main() -> None:
    """Turn a folder of diagnostic playbooks into a static site.

    Exit codes: 0 done, 1 the library has errors, 2 wrong usage, 3 the machine failed.
    """


for command in COMMANDS:
    main.add_command(command)
