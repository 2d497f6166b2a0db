"""Migration, tried with two invented formats, since there is one so far."""

import pytest

from builder.format.migrate import STEPS, Migrated, MigrationError, migrated
from builder.format.worked import PLAYBOOK
from builder.read.records.playbook import FORMAT

INVENTED = {
    1: lambda text: text.replace("share:", "part:"),
    2: lambda text: text.replace("endings:", "ends:"),
}
OLD = "# Ours.\nformat: 1  # the first\ncauses:\n  a: {share: 5%}   # a guess\nendings: {}\n"


def test_a_playbook_goes_through_every_format_to_the_newest_and_keeps_its_comments() -> None:
    assert migrated(OLD, INVENTED, 3).after == (
        "# Ours.\nformat: 3\ncauses:\n  a: {part: 5%}   # a guess\nends: {}\n"
    )  # fmt: skip


def test_what_is_of_a_later_format_already_takes_only_the_rest_of_the_way() -> None:
    text = OLD.replace("format: 1", "format: 2")
    assert migrated(text, INVENTED, 3).after.count("share") == 1


def test_what_is_of_the_newest_format_stays_to_the_letter() -> None:
    assert migrated(PLAYBOOK) == Migrated(PLAYBOOK, PLAYBOOK, FORMAT)
    assert not migrated(PLAYBOOK).is_changed


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("title: T\n", "no line says its format"),
        ("format: one\n", "no line says its format"),
        ("format: 9\n", "`format: 9` is newer than this Droplight"),
        ("format: 0\n", "nothing leads from format 0 to format 1"),
    ],
)
def test_what_cannot_be_migrated_says_why(text: str, said: str) -> None:
    with pytest.raises(MigrationError, match=said):
        migrated(text, INVENTED, 3)


def test_there_is_a_step_for_every_format_but_the_newest() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT))
