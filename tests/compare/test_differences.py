"""What changed, field by field, and nothing where only order, spacing or notation did."""

from collections.abc import Callable
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from builder.compare.compare import Comparison, compare
from builder.read.library import LibraryRead

Plain = dict[str, Any]


def test_the_same_library_has_no_change(change: Callable[..., Comparison]) -> None:
    assert change(lambda playbook, base: None).is_empty


def turned_round(value: Any) -> Any:
    """The same said in another order: keys and names backwards, white space in texts."""
    if isinstance(value, dict):
        return {key: turned_round(item) for key, item in reversed(value.items())}
    if isinstance(value, list):
        return value[::-1]
    return value


@given(data=st.data())
def test_order_and_spacing_are_no_change(
    side: Callable[..., LibraryRead], playbooks: Callable[..., st.SearchStrategy[Plain]], data: st.DataObject
) -> None:
    playbook = data.draw(playbooks())
    spaced = {**turned_round(playbook), "start": "step-0", "title": "A  title"}
    comparison = compare(side({"x": {**playbook, "title": "A title", "start": "step-0"}}), side({"x": spaced}))
    assert comparison.is_empty


def test_another_way_of_writing_an_amount_is_no_change(change: Callable[..., Comparison]) -> None:
    assert change(lambda playbook, base: playbook["endings"]["renew"].update(time="PT60M")).is_empty


def test_what_changed_is_said_by_field(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        playbook["causes"]["dirt"]["share"] = "20%"
        playbook["steps"]["look"]["results"]["bad"]["chance"] = {"wear": "70%", "otherwise": "10%"}
        playbook["endings"]["renew"]["title"] = "Renew it"

    [one] = change(edit).changed
    assert [(what.kind, what.name, what.how, what.fields) for what in one.differences] == [
        ("cause", "dirt", "changed", ("share",)),
        ("step", "look", "changed", ("results.bad.chance",)),
        ("ending", "renew", "changed", ("title",)),
    ]
