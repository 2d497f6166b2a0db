"""`droplight schema`: the format for editors that complete and check."""

from pathlib import Path

import click

from builder.format.schema import FILES, schema_text
from builder.publish.files import write_over
from builder.streams import echo


@click.command()
@click.option("--of", "file", type=click.Choice(list(FILES)), default="playbook", show_default=True, help="Which file.")
@click.option(
    "--out",
    metavar="FILE",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write (default: standard output).",
)
def schema(file: str, out: Path | None) -> None:
    """Print the JSON Schema of a playbook, for editors that complete and check while one types."""
    if out is None:
        echo(schema_text(file), end="")
        return
    write_over(out, schema_text(file))
