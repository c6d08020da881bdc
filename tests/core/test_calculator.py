"""A calculator's definition: its form from the signature, its help from the docstring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import pytest

from fixbook.core.answer import ARITHMETIC, PRACTICE, Answer, Source, Value
from fixbook.core.calculator import Calculator, calculator, calculators_in
from fixbook.core.inputs import Input, Limits, Measured, Span, above, inputs_of, within
from fixbook.core.quantity import AMPS, ANY, CELSIUS, COUNT, HERTZ, NUMBER, OHMS, VOLTS, Tolerance
from fixbook.errors import CalculationError

Rectifier = Literal["full", "half"]


@dataclass(frozen=True, slots=True)
class Lamp:
    """A record with one field that may be left out."""

    voltage: Annotated[float, VOLTS, "rated voltage", above(0)]
    current: Annotated[float | None, AMPS] = None


@calculator(
    "drop-over",
    formula="V = I R",
    sources=[Source("Ohm 1827")],
    cautions=["Measure dead."],
    gives={"drop": "voltage over the resistance"},
)
def drop_over(
    load: Annotated[float, AMPS, "direct current", within(0, 10)],
    resistance: Annotated[float, OHMS],
    resistance_hot: Annotated[float | None, OHMS] = None,
    mains: Annotated[float, HERTZ, PRACTICE] = 50,
) -> Answer:
    """How much voltage is lost on the way?

    The drop rises with the current.

    Worked example: 2 A through 0.1 ohm lose 0.2 V.
    """
    return Answer([Value("drop", load * resistance, VOLTS)])


(DROP,) = calculators_in({"drop_over": drop_over})


def test_a_calculator_is_still_a_function() -> None:
    """The decorator leaves the function callable as it was."""
    assert drop_over(2.0, 0.1)["drop"] == pytest.approx(0.2)


def test_the_docstring_is_question_and_help() -> None:
    """The first line is the question, the rest the help."""
    assert (DROP.question, DROP.help.splitlines()) == (
        "How much voltage is lost on the way?",
        [
            "The drop rises with the current.",
            "",
            "Worked example: 2 A through 0.1 ohm lose 0.2 V.",
        ],
    )


def test_the_decorator_keeps_what_it_was_told() -> None:
    """Formula, sources, cautions and meanings are the calculator's own."""
    assert (DROP.name, DROP.formula, DROP.sources, DROP.cautions, DROP.gives) == (
        "drop-over",
        "V = I R",
        (Source("Ohm 1827"),),
        ("Measure dead.",),
        {"drop": "voltage over the resistance"},
    )


def test_the_signature_is_the_form() -> None:
    """Each parameter is an input with its kind, help, limits, default and evidence."""
    assert DROP.inputs == (
        Input("load", "quantity", AMPS, limits=Limits(0, 10), help="direct current"),
        Input("resistance", "quantity", OHMS),
        Input("resistance_hot", "quantity", OHMS, required=False),
        Input("mains", "quantity", HERTZ, required=False, default=50, evidence=PRACTICE),
    )


def _shape(hint: Any) -> tuple[object, ...]:
    def function(x: Any) -> Answer:
        """Ask."""
        return Answer([])

    function.__annotations__["x"] = hint
    (found,) = inputs_of(function)
    return found.form, found.kind, found.many, found.choices


@pytest.mark.parametrize(
    ("hint", "shape"),
    [
        (Annotated[float, OHMS], ("quantity", OHMS, False, ())),
        (Annotated[int, COUNT], ("quantity", COUNT, False, ())),
        (float, ("quantity", NUMBER, False, ())),
        (Annotated[Span, VOLTS], ("range", VOLTS, False, ())),
        (Tolerance, ("tolerance", NUMBER, False, ())),
        (Literal["full", "half"], ("choice", NUMBER, False, ("full", "half"))),
        (str, ("text", NUMBER, False, ())),
        (bool, ("flag", NUMBER, False, ())),
        (Measured, ("measured", ANY, False, ())),
        (Lamp, ("record", NUMBER, False, ())),
        (tuple[Annotated[float, OHMS], ...], ("quantity", OHMS, True, ())),
        (Annotated[tuple[float, ...], OHMS], ("quantity", OHMS, True, ())),
        (tuple[Lamp, ...], ("record", NUMBER, True, ())),
        (Annotated[float, OHMS] | None, ("quantity", OHMS, False, ())),
        (Annotated[tuple[float, ...] | None, OHMS], ("quantity", OHMS, True, ())),
    ],
    ids=[
        "kind", "whole", "bare", "range", "tolerance", "choice", "text", "flag", "measured",
        "record", "many", "many outside", "records", "optional", "optional many",
    ],
)  # fmt: skip
def test_a_type_is_a_form(hint: object, shape: tuple[object, ...]) -> None:
    """Every type that an input may have says how it is asked for."""
    assert _shape(hint) == shape


def test_a_records_fields_are_inputs_of_their_own() -> None:
    """A record's fields carry kind, help, limits and whether they may be left out."""

    def function(lamp: Lamp) -> Answer:
        """Ask."""
        return Answer([])

    function.__annotations__["lamp"] = Lamp
    (found,) = inputs_of(function)
    assert found.record is Lamp
    assert found.fields == (
        Input("voltage", "quantity", VOLTS, limits=above(0), help="rated voltage"),
        Input("current", "quantity", AMPS, required=False),
    )


@pytest.mark.parametrize(
    "hint",
    [None, list[float], dict[str, float], float | str, complex, tuple[float, float], bytes],
    ids=["none", "list", "mapping", "either", "complex", "pair", "bytes"],
)
def test_a_type_that_no_form_can_ask_for_is_the_authors_mistake(hint: object) -> None:
    """The error names the input while the plugin is loaded, not while it is used."""
    with pytest.raises(TypeError):
        _shape(hint)


def test_a_calculator_without_help_is_the_authors_mistake() -> None:
    """No docstring, no calculator: it is the help."""

    def silent(load: Annotated[float, AMPS]) -> Answer:
        return Answer([])

    with pytest.raises(TypeError, match="the calculator silent needs a docstring"):
        calculator("silent")(silent)


@pytest.mark.parametrize(
    ("limits", "inside", "outside"),
    [
        (within(1, 2), [1, 1.5, 2], [0.999, 2.001, float("nan")]),
        (above(0), [1e-12, 1e30], [0, -1]),
        (above(-273.15, 1000), [-273, 1000], [-273.15, 1001]),
        (Limits(), [-1e300, 0, 1e300], [float("nan")]),
    ],
    ids=["within", "above", "above and up to", "none"],
)
def test_limits_hold_their_ends(limits: Limits, inside: list[float], outside: list[float]) -> None:
    """`within` takes both ends in, `above` leaves its low end out; NaN is nowhere."""
    assert [limits.hold(one) for one in (*inside, *outside)] == [True] * len(inside) + [
        False
    ] * len(outside)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("load", "load"),
        ("l", "load"),
        ("LOAD", "load"),
        ("resistance", "resistance"),
        ("resistance-hot", "resistance_hot"),
        ("resistance_", "resistance_hot"),
        (" m ", "mains"),
    ],
)
def test_an_input_is_found_by_a_unique_beginning(typed: str, name: str) -> None:
    """A whole name beats a longer one that begins with it; case and hyphens do not matter."""
    assert DROP.input(typed).name == name


@pytest.mark.parametrize(
    ("typed", "why", "choices"),
    [
        (
            "res",
            "'res' could be resistance or resistance_hot",
            ("resistance", "resistance_hot"),
        ),
        (
            "lode",
            "drop-over has no input 'lode'; did you mean load?",
            ("load", "resistance", "resistance_hot", "mains"),
        ),
        (
            "",
            "drop-over has no input ''; it takes load, resistance, resistance_hot, mains",
            ("load", "resistance", "resistance_hot", "mains"),
        ),
    ],
    ids=["two", "misspelt", "nothing"],
)
def test_a_name_that_is_not_unique_is_refused(
    typed: str, why: str, choices: tuple[str, ...]
) -> None:
    """The refusal offers the names that would have been right."""
    with pytest.raises(CalculationError) as caught:
        DROP.input(typed)
    assert (caught.value.why, caught.value.choices) == (why, choices)


def test_calculators_of_a_module_come_in_order_and_once() -> None:
    """A second name for one calculator does not list it twice; other names are passed over."""

    @calculator("second-of")
    def second_of(load: Annotated[float, AMPS]) -> Answer:
        """And then?"""
        return Answer([])

    names: dict[str, Callable[..., Answer] | int] = {
        "drop": drop_over, "number": 5, "again": drop_over, "second": second_of,
    }  # fmt: skip
    assert [one.name for one in calculators_in(names)] == ["drop-over", "second-of"]


def test_a_calculator_is_made_without_a_decorator_too() -> None:
    """The value type has plain defaults of its own."""
    made = Calculator("plain", "What?", "", drop_over)
    assert (made.formula, made.sources, made.cautions, made.gives) == ("", (), (), None)


def test_a_plain_default_needs_no_evidence() -> None:
    """A default is arithmetic unless the annotation says how it is known."""
    assert DROP.inputs[2].evidence == ARITHMETIC


def test_a_kind_of_its_own_is_kept() -> None:
    """Temperatures stay in the kind that the annotation names."""
    assert _shape(Annotated[float, "at the case", CELSIUS, within(-55, 150)])[1] == CELSIUS
