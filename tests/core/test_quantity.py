"""Kinds and the values that carry them."""

from __future__ import annotations

import copy
import pickle

import pytest

from fixbook.core.quantity import KINDS, OHMS, VOLTS, Kind, Quantity, Range, Tolerance

KIND_NAMES = {
    *(
        "ohms",
        "farads",
        "henries",
        "volts",
        "amps",
        "microamps",
        "watts",
        "hertz",
        "celsius",
        "kelvin",
    ),
    *("seconds", "minutes", "hours", "years", "coulombs", "joules", "ratio", "percent"),
    *("count", "number", "metres", "centimetres", "square_mm", "kelvin_per_watt", "decibels"),
    *("newtons", "degrees", "any"),
}


def test_every_kind_is_found_by_its_name() -> None:
    """The mapping holds every kind under the name that it carries itself."""
    assert {name: kind.name for name, kind in KINDS.items()} == {name: name for name in KIND_NAMES}


def test_a_value_cannot_be_changed() -> None:
    """A quantity stays what was read."""
    quantity = Quantity(47.0, OHMS)
    with pytest.raises(AttributeError):
        quantity.value = 48.0  # type: ignore[misc]


def test_a_value_has_no_room_for_other_attributes() -> None:
    """A misspelt attribute is an error, not a new attribute."""
    with pytest.raises((AttributeError, TypeError)):
        Quantity(47.0, OHMS).valeu = 48.0  # type: ignore[attr-defined]


@pytest.mark.parametrize("again", [copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])
def test_a_copy_is_equal(again: object) -> None:
    """Values survive copying and a trip through another process."""
    span = Range(Quantity(1.0, OHMS, "1R"), Quantity(2.0, OHMS, "2R", ("a note",)))
    assert again(span) == span  # type: ignore[operator]


def test_equal_values_are_one_key() -> None:
    """Values can be kept in sets and used as keys."""
    assert len({Quantity(1.0, OHMS), Quantity(1.0, OHMS), Quantity(1.0, VOLTS)}) == 2


def test_a_quantity_shows_its_parts() -> None:
    """A failing test or a log line says what the quantity was."""
    assert repr(Quantity(47.0, OHMS, "47R")) == (
        "Quantity(value=47.0, kind=<Kind ohms>, text='47R', notes=())"
    )


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_quantity_is_finite(value: float) -> None:
    """A quantity that is no number cannot be made."""
    with pytest.raises(ValueError, match="finite"):
        Quantity(value, OHMS)


def test_a_range_rises() -> None:
    """A range with its ends the wrong way round cannot be made."""
    with pytest.raises(ValueError, match="rises"):
        Range(Quantity(2.0, OHMS), Quantity(1.0, OHMS))


def test_a_range_has_an_end() -> None:
    """A range without any end cannot be made."""
    with pytest.raises(ValueError, match="at least one end"):
        Range(None, None)


def test_a_range_gathers_the_notes_of_its_ends() -> None:
    """What was assumed for both ends is said once."""
    low = Quantity(1.0, OHMS, "1", ("unit assumed: ohm",))
    high = Quantity(2.0, OHMS, "2", ("unit assumed: ohm", "another"))
    assert Range(low, high).notes == ("unit assumed: ohm", "another")


@pytest.mark.parametrize(("minus", "plus"), [(-0.1, 0.1), (0.1, -0.1), (1.1, 0.1), (0.1, float("nan"))])  # fmt: skip
def test_a_tolerance_is_two_fractions(minus: float, plus: float) -> None:
    """A tolerance that falls below nothing, or points the wrong way, cannot be made."""
    with pytest.raises(ValueError, match="cannot be"):
        Tolerance(minus, plus)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_a_kind_gives_an_example_that_is_read(kind: Kind) -> None:
    """What a refusal gives as an example is itself read by that kind."""
    from fixbook.core.reading import read

    examples = kind.example.replace(" or ", ", ").split(", ")
    assert all(read(example, kind).text == example for example in examples)
