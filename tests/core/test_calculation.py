"""Running a calculator on what was typed."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.answer import PRACTICE, Answer, Source, Table, Value
from fixbook.core.calculation import AnswerFaultError, Result, assign, missing, run
from fixbook.core.calculator import Calculator, calculator, calculators_in
from fixbook.core.inputs import Measured, Span, above, within
from fixbook.core.quantity import AMPS, FARADS, HERTZ, NUMBER, OHMS, VOLTS, Tolerance
from fixbook.core.typed_input import display_one, read_value
from fixbook.errors import CalculationError, QuantityError

QUICK = settings(max_examples=60, deadline=None)


@dataclass(frozen=True, slots=True)
class Rung:
    """A rung of a ladder."""

    resistance: Annotated[float, OHMS, above(0)]
    rated_voltage: Annotated[float | None, VOLTS] = None
    body: Literal["metal", "carbon"] = "metal"


@calculator("bare-of")
def bare_of(
    load: Annotated[float, AMPS, "direct current", within(1e-3, 100)],
    count: Annotated[float, NUMBER] = 2,
    mains: Annotated[float, HERTZ, PRACTICE] = 50,
    spare: Annotated[float | None, OHMS] = None,
) -> Answer:
    """How much?"""
    return Answer(
        [Value("total", load * count, AMPS)], assumptions=["load is steady"], cautions=["Unplug."]
    )


@calculator("forms-of", formula="none", sources=[Source("the trade", PRACTICE)], cautions=["Look."])
def forms_of(
    window: Annotated[Span | None, OHMS, within(1, 1e6)] = None,
    tolerance: Tolerance | None = None,
    rectifier: Literal["full", "half", "full-bridge-twice"] | None = None,
    hot: bool | None = None,
    name: str | None = None,
    reading: Measured | None = None,
    limit: Measured | None = None,
    values: tuple[Annotated[float, OHMS], ...] = (),
    names: tuple[str, ...] = (),
    rungs: tuple[Rung, ...] = (),
) -> Answer:
    """What was typed?"""
    return Answer([], verdict="info", word="seen", why="as typed", notes=["a note"])


@calculator("answers-of")
def answers_of(ratio: Annotated[float, NUMBER]) -> Answer:
    """What comes of a hostile number?"""
    table = Table("rows", {"part": NUMBER}, [{"part": ratio * 1e308}])
    if ratio < 0:
        return Answer([table])
    return Answer([Value("twice", [1.0, math.exp(ratio)]), Value("share", 1 / (ratio - 1))])


BARE, FORMS, ANSWERS = calculators_in(dict(globals()))


def _filled(calculator_: Calculator, *words: str) -> dict[str, Any]:
    return {
        one.input.name: one.value for one in run(calculator_, assign(calculator_, words)).inputs
    }


def _refusal(calculator_: Calculator, *words: str) -> CalculationError:
    with pytest.raises(CalculationError) as caught:
        run(calculator_, assign(calculator_, words))
    return caught.value


@pytest.mark.parametrize(
    ("words", "given"),
    [
        (["2A", "3"], {"load": ["2A"], "count": ["3"]}),
        (["count=3", "load=2A"], {"count": ["3"], "load": ["2A"]}),
        (["count=3", "2A"], {"count": ["3"], "load": ["2A"]}),
        (["load=2A", "3", "60"], {"load": ["2A"], "count": ["3"], "mains": ["60"]}),
        (["c=3", "l = 2A"], {"count": ["3"], "load": [" 2A"]}),
        (["-15V"], {"load": ["-15V"]}),
        (["load="], {"load": [""]}),
        (["load=a=b"], {"load": ["a=b"]}),
        (["4 = 5"], {"load": ["4 = 5"]}),
    ],
    ids=[
        "position", "any order", "mixed", "positions after a name", "beginnings", "minus",
        "empty", "second equals", "no name",
    ],
)  # fmt: skip
def test_words_are_given_to_inputs(words: list[str], given: dict[str, list[str]]) -> None:
    """Names in any order, positions in the order of the form, each input once."""
    assert assign(BARE, words) == given


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["1", "2", "3", "4", "5"], "bare-of has no input left for '5'"),
        (["load=1", "load=2"], "load was given twice: '1' and '2'"),
        (["1", "load=2"], "load was given twice: '1' and '2'"),
        (["lod=1"], "bare-of has no input 'lod'; did you mean load?"),
    ],
    ids=["too many", "twice", "twice by position", "unknown"],
)
def test_words_that_fit_no_input_are_refused(words: list[str], why: str) -> None:
    """The refusal names the word and the input."""
    assert _refusal(BARE, *words).why == why


def test_an_input_that_takes_several_gathers_them() -> None:
    """A repeated name adds to the list, and so does a semicolon."""
    assert _filled(FORMS, "values=1k", "values=2k2; 47 ohm")["values"] == (1000.0, 2200.0, 47.0)


@pytest.mark.parametrize(
    ("word", "listed"),
    [
        ("values=1k,2k", "1k; 2k"),
        ("values=30,40,50", "30; 40; 50"),
        ("values=30, 40", "30; 40"),
        ("values=30,40", "30; 40"),
        ("values=100,200", "100; 200"),
        ("names=10k,4k7", "10k; 4k7"),
        ("rungs=res=1,res=2", "res=1; res=2"),
    ],
)
def test_commas_between_values_are_refused_with_the_right_separator(word: str, listed: str) -> None:
    """A comma is a decimal mark: a list is refused, with the same values parted by semicolons."""
    error = _refusal(FORMS, word)
    assert f"semicolons: {listed}" in error.why + error.hint


@pytest.mark.parametrize(
    ("words", "values"),
    [
        (["values=4,7k"], (4700.0,)),
        (["values=4,7k; 2,2"], (4700.0, 2.2)),
        (["values=30,5", "values=40,5"], (30.5, 40.5)),
    ],
)
def test_a_decimal_comma_may_stand_in_a_list(words: list[str], values: tuple[float, ...]) -> None:
    """Where it cannot stand between two values, a comma is the decimal mark it always is."""
    assert _filled(FORMS, *words)["values"] == values


def test_what_is_missing_is_known_before_anything_is_read() -> None:
    """The form knows which required inputs have nothing typed for them."""
    assert [one.name for one in missing(BARE, {"load": []})] == ["load"]


def test_a_missing_input_is_named_with_what_it_wants() -> None:
    """The error says the input's name, meaning and unit, and how to give it."""
    error = _refusal(BARE)
    assert (error.why, error.input, error.hint) == (
        "bare-of needs load: direct current [A]",
        "load",
        "write load=…",
    )


def test_defaults_are_said_among_the_assumptions() -> None:
    """What was not typed is told, with how it is known; then the calculator's own, each once."""
    result = run(BARE, {"load": ["2 A"]})
    assert result.assumptions == (
        "count taken as 2",
        "mains taken as 50 Hz (common practice, no source)",
        "load is steady",
    )


def test_what_was_typed_is_no_assumption() -> None:
    """A value that was given is not told back as a default."""
    result = run(BARE, {"load": ["2 A"], "count": ["3"], "mains": ["60 Hz"]})
    assert result.assumptions == ("load is steady",)


@pytest.mark.parametrize(
    ("calculator_", "given"),
    [
        (BARE, {"load": ["1e-1 A"], "spare": ["104"]}),
        (FORMS, {"reading": ["104 R"], "values": ["104"]}),
    ],
    ids=["one", "many"],
)
def test_what_was_assumed_in_reading_is_told(
    calculator_: Calculator, given: dict[str, list[str]]
) -> None:
    """A text with a second meaning is read, and the reading is told with the input's name."""
    name = "spare" if calculator_ is BARE else "values"
    notes = run(calculator_, given).assumptions
    assert [note for note in notes if note.startswith(f"{name}: ")]


def test_what_was_assumed_in_reading_a_range_is_told() -> None:
    """A range whose first end took its prefix from the second says so."""
    notes = run(FORMS, {"window": ["4.7..10k"]}).assumptions
    assert notes == ("window: 4.7 read as 4.7 kohm",)


def test_cautions_come_once_the_lasting_ones_first() -> None:
    """The calculator's cautions and the answer's are shown together."""
    assert run(BARE, {"load": ["1 A"]}).cautions == ("Unplug.",)


@pytest.mark.parametrize(
    ("word", "value"),
    [
        ("window=450..600", Span(450.0, 600.0)),
        ("tolerance=-20/+80 %", Tolerance(0.2, 0.8)),
        ("rectifier=half", "half"),
        ("rectifier=HALF", "half"),
        ("rectifier=full", "full"),
        ("rectifier=full bridge_twice", "full-bridge-twice"),
        ("hot=yes", True),
        ("hot=Off", False),
        ("name=  a   lamp ", "a lamp"),
        ("reading=4.7k", Measured(4700.0, NUMBER)),
        ("reading=16 V", Measured(16.0, VOLTS)),
        ("rungs=resistance=4k7", (Rung(4700.0),)),
        (
            "rungs=res=4k7 rated-voltage=16 V body=carbon; resistance = 10",
            (Rung(4700.0, 16.0, "carbon"), Rung(10.0)),
        ),
    ],
    ids=[
        "range", "tolerance", "choice", "capitals", "whole beats longer", "blanks",
        "yes", "no", "text", "bare", "unit", "record", "records",
    ],
)  # fmt: skip
def test_each_form_reads_what_is_typed(word: str, value: object) -> None:
    """Every form of input takes what a technician types for it."""
    assert _filled(FORMS, word)[word.partition("=")[0]] == value


@pytest.mark.parametrize(
    ("word", "why"),
    [
        ("window=450", None),
        ("window=600..450", None),
        ("window=0.5..10", "window of 0.5..10 is outside what is valid: from 1 ohm up to 1 Mohm"),
        ("tolerance=wide", None),
        ("rectifier=hlaf", "rectifier has no choice 'hlaf'; did you mean half?"),
        ("rectifier=hal", "rectifier has no choice 'hal'; did you mean half?"),
        ("rungs=res=1 body=car", "rungs: body has no choice 'car'; did you mean carbon?"),
        ("rungs=res=", "rungs: resistance: nothing was typed; a value is wanted here"),
        (
            "rectifier=",
            "rectifier has no choice ''; it is one of full, half, full-bridge-twice",
        ),
        ("hot=maybe", "hot is yes or no, not 'maybe'"),
        ("name= ", "name is empty"),
        ("name=\x1b[31m", "name is a text of at most 200 printable characters"),
        ("name=" + "x" * 201, "name is a text of at most 200 printable characters"),
        ("values=;;", "values is empty"),
        ("values=1k;two", None),
        ("rungs=4k7", "rungs: '4k7' is no 'name=value' of it; it takes resistance, rated_voltage, body"),
        ("rungs=body=metal", "rungs needs resistance: resistance [ohm]"),
        ("rungs=res=1 res=2", "rungs: resistance was given twice"),
        (
            "rungs=res=1 colour=red",
            "rungs: 'colour=red' is no 'name=value' of it; it takes resistance, rated_voltage, body",
        ),
        ("rungs=res=0", "rungs: resistance of 0 is outside what is valid: above 0 ohm"),
    ],
    ids=[
        "one end", "falling", "limits", "tolerance", "choice", "beginning", "choice of a record",
        "empty in a record", "no choice", "flag", "empty text",
        "escape", "long text", "empty many", "one wrong of many", "no name", "record lacks",
        "record twice", "record unknown", "record limits",
    ],
)  # fmt: skip
def test_what_a_form_cannot_read_is_refused(word: str, why: str | None) -> None:
    """The refusal says what was typed and what would be right; readers have their own words."""
    error = _refusal(FORMS, word)
    assert error.why == (why or error.why)
    assert error.why and error.exit_status == 2


@pytest.mark.parametrize("typed", ["0", "-1 A", "101 A", "1e30 A", "16 V", "nan", "", "1 A A"])
def test_a_value_outside_the_form_names_its_input(typed: str) -> None:
    """Zero, negative, absurd, of another kind, no number: the input is named every time."""
    error = _refusal(BARE, f"load={typed}")
    assert (error.input, error.read) == ("load", typed)


def test_a_limit_is_said_in_units() -> None:
    """The valid range is shown as a person reads it."""
    assert _refusal(BARE, "load=200 A").why == (
        "load of 200 A is outside what is valid: from 1 mA up to 100 A"
    )


def test_measured_values_share_their_unit() -> None:
    """A reading in ohms is not held against a limit in volts in silence."""
    error = _refusal(FORMS, "reading=5 ohm", "limit=5 V")
    assert (error.why, error.input) == ("reading is in ohm and limit in V", "limit")


def test_bare_and_measured_values_do_not_mix() -> None:
    """A bare number beside one with a unit is refused."""
    assert _refusal(FORMS, "reading=5", "limit=5 V").why == "reading is in no unit and limit in V"


def test_what_cannot_be_read_is_told_before_what_is_missing() -> None:
    """A value of the wrong kind is the nearer fault: another input may be the one that lacks."""
    assert _refusal(BARE, "count=2 V").input == "count"


@calculator("faulty-of", gives={"resistance": "of nothing", "share": "of it"})
def faulty_of(how: Literal["misspelt", "twice", "no value", "nothing"]) -> Answer:
    """What does a calculator give that is wrong itself?"""
    values: dict[str, Any] = {
        "misspelt": [Value("resistnce", 1.0, OHMS)],
        "twice": [Value("share", 1.0), Value("share", 2.0)],
        "no value": [1.0],
    }
    return Answer(values[how]) if how in values else None  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("how", "why"),
    [
        ("misspelt", "the answer 'resistnce', which gives= lacks; did you mean resistance?"),
        ("twice", "it gave the answer 'share' twice"),
        ("no value", "its Answer has float among its values"),
        ("nothing", "it gave NoneType, not an Answer"),
    ],
)
def test_what_a_calculator_should_not_give_is_its_own_fault(how: str, why: str) -> None:
    """An answer that is not what was announced is no answer, and no fault of what was typed."""
    (faulty,) = calculators_in({"faulty_of": faulty_of})
    with pytest.raises(AnswerFaultError) as caught:
        run(faulty, {"how": [how]})
    assert why in str(caught.value)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("1e3", "these inputs give answers-of no finite answer"),
        ("-1e3", "these inputs give answers-of no finite rows"),
    ],
    ids=["overflow", "infinite cell"],
)
def test_an_answer_without_end_is_refused(typed: str, why: str) -> None:
    """Infinite answers, in a value or in a table, never reach the bench."""
    assert _refusal(ANSWERS, f"ratio={typed}").why == why


def test_a_result_is_json_as_scripts_expect_it() -> None:
    """Inputs and answers with value, unit and text; the rest as lists of sentences."""
    result = run(BARE, {"load": ["20 mA"]})
    assert result.to_json() == {
        "calculator": "bare-of",
        "inputs": {
            "load": {"value": 0.02, "unit": "A", "text": "20 mA"},
            "count": {"value": 2, "unit": None, "text": "2"},
            "mains": {"value": 50, "unit": "Hz", "text": "50 Hz"},
            "spare": {"value": None, "unit": "ohm", "text": ""},
        },
        "answers": {"total": {"value": 0.04, "unit": "A", "text": "40 mA"}},
        "verdict": None,
        "word": None,
        "why": "",
        "assumptions": list(result.assumptions),
        "notes": [],
        "cautions": ["Unplug."],
        "formula": "",
        "sources": [],
    }


def test_every_form_has_a_value_in_json() -> None:
    """Ranges, tolerances, records and measured values become plain numbers and lists."""
    words = ["window=450..600", "tolerance=-20/+80 %", "hot=no", "reading=16 V", "values=1k;2k"]
    words += ["rungs=res=4k7 body=carbon", "rectifier=half", "name=lamp"]
    result = run(FORMS, assign(FORMS, words)).to_json()
    inputs = result["inputs"]
    assert isinstance(inputs, dict)
    assert {name: (one["value"], one["unit"]) for name, one in inputs.items()} == {
        "window": ([450.0, 600.0], "ohm"),
        "tolerance": ([-0.2, 0.8], None),
        "rectifier": ("half", None),
        "hot": (False, None),
        "name": ("lamp", None),
        "reading": (16.0, "V"),
        "limit": (None, None),
        "values": ([1000.0, 2000.0], "ohm"),
        "names": ([], None),
        "rungs": ([{"resistance": 4700.0, "rated_voltage": None, "body": "carbon"}], None),
    }


def test_a_verdict_is_json_with_its_reason() -> None:
    """Verdict, word, reason, notes, formula and sources are all in the result."""
    result = run(FORMS, {}).to_json()
    keys = ["verdict", "word", "why", "notes", "cautions", "formula", "sources"]
    assert [result[key] for key in keys] == [
        "info", "seen", "as typed", ["a note"], ["Look."], "none",
        ["the trade (common practice, no source)"],
    ]  # fmt: skip


ohms = st.floats(0.01, 1e9)
volts = st.none() | st.floats(1e-6, 1e4).map(lambda one: float(f"{one:.4g}"))


@QUICK
@given(
    resistance=ohms.map(lambda one: float(f"{one:.4g}")),
    voltage=volts,
    body=st.sampled_from(["metal", "carbon"]),
)
def test_a_record_as_shown_is_read_as_the_same(
    resistance: float, voltage: float | None, body: Literal["metal", "carbon"]
) -> None:
    """What the program shows of a record may be typed back at it."""
    rung = Rung(resistance, voltage, body)
    field = FORMS.inputs[-1]
    again = read_value(field, display_one(field, rung), [])
    assert again.body == body
    assert again.resistance == pytest.approx(resistance, rel=1e-3)
    assert (again.rated_voltage is None) == (voltage is None)


_names = st.sampled_from([one.name for one in FORMS.inputs] + ["r", "ru", "", "x"])
_pieces = [
    "res=1",
    "body=",
    "4k7",
    ";",
    "..",
    "=",
    " ",
    "yes",
    "half",
    "1e999",
    "\0",
    "%",
    "\u200b",
]
_typed = st.text(max_size=12) | st.lists(st.sampled_from(_pieces), max_size=5).map("".join)
_words = st.lists(st.tuples(_names, _typed).map("=".join) | _typed, max_size=4)


@settings(max_examples=200, deadline=None)
@given(_words)
def test_any_words_give_a_result_or_a_refusal(words: list[str]) -> None:
    """Whatever is typed, there is a result that is JSON, or a sentence that says why not."""
    try:
        result = run(FORMS, assign(FORMS, words))
    except CalculationError as error:
        assert error.why
    else:
        assert isinstance(result, Result)
        assert json.loads(json.dumps(result.to_json(), allow_nan=False))["calculator"] == "forms-of"


def test_an_ambiguous_value_is_refused_with_its_readings() -> None:
    """A text that could be two values is refused, and both are offered."""
    field = next(one for one in calculators_in({"x": _capacitance})[0].inputs)
    with pytest.raises(QuantityError) as caught:
        read_value(field, "1 mF", [])
    assert len(caught.value.choices) >= 2 and caught.value.input == "capacitance"


@calculator("charge-of")
def _capacitance(capacitance: Annotated[float, FARADS]) -> Answer:
    """How much charge?"""
    return Answer([])
