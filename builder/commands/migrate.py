"""`droplight migrate`: playbooks of an old format in the newest one."""

from difflib import unified_diff
from pathlib import Path

import click

from builder.commands.options import library_option
from builder.format.migrate import Migrated, MigrationError, migrated
from builder.publish.files import write_over
from builder.read.catalogue import read_settings
from builder.read.folder import Folder, list_playbooks
from builder.read.records.playbook import FORMAT
from builder.report.text import printable
from builder.streams import echo


@click.command()
@library_option
@click.option("--dry-run", is_flag=True, help="Only show what would be written.")
def migrate(library_dir: Path, dry_run: bool) -> None:
    """Bring playbooks of an old format to the newest one; comments and layout stay.

    Nothing is written unless every playbook can be migrated.
    """
    found = {path: _migrated(path) for path in _playbooks(library_dir)}
    changed = {path: one for path, one in found.items() if one.is_changed}
    for path, one in changed.items():
        echo(f"{path}: format {one.was} → {FORMAT}")
        if dry_run:
            lines = unified_diff(one.before.splitlines(), one.after.splitlines(), "before", "after", lineterm="")
            echo("\n".join(printable(line) for line in lines))
        else:
            write_over(path, one.after)
    done = "would be migrated" if dry_run else "migrated"
    echo(f"{len(changed)} of {len(found)} playbooks {done}; the newest format is {FORMAT}")


def _migrated(path: Path) -> Migrated:
    try:
        return migrated(path.read_bytes().decode("utf-8"))
    except (MigrationError, UnicodeDecodeError) as error:
        said = "not UTF-8 text" if isinstance(error, UnicodeDecodeError) else str(error)
        raise click.UsageError(f"{path}: {said}; nothing was written") from error


def _playbooks(library_dir: Path) -> list[Path]:
    folder = Folder(library_dir, library_dir.as_posix())
    file, _ = read_settings(folder)
    if file is None or file.settings is None:
        raise click.UsageError(f"the settings of {library_dir} cannot be read; `droplight check` says why")
    listed = list_playbooks(folder, file.settings.areas).files
    return [library_dir / one.area / f"{one.slug}.yaml" for one in listed]
