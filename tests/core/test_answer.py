"""What a calculator says, and how it is shown."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.answer import (
    PRACTICE,
    PUBLISHED,
    VERDICTS,
    Answer,
    Source,
    Table,
    Value,
    Verdict,
    worst,
)
from fixbook.core.quantity import NUMBER, OHMS, VOLTS

QUICK = settings(max_examples=60, deadline=None)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Value("r", 4700.0, OHMS), "4.7 kohm"),
        (Value("r", 4711.0, OHMS, digits=2), "4.7 kohm"),
        (Value("r", [1.0, 2.0], VOLTS), "1 V, 2 V"),
        (Value("r", 0.123456), "0.1235"),
        (Value("r", True), "yes"),
        (Value("r", False), "no"),
        (Value("r", "brown, black"), "brown, black"),
        (Value("r", None), ""),
        (Value("r", None, OHMS, text="no resistance does it"), "no resistance does it"),
        (Value("r", 2.4e8, NUMBER, text="7.72 years"), "7.72 years"),
    ],
    ids=[
        "unit", "digits", "list", "bare", "yes", "no", "text", "nothing", "why", "own words",
    ],
)  # fmt: skip
def test_a_value_is_shown_as_a_person_reads_it(value: Value, shown: str) -> None:
    """Numbers get their unit and sensible digits; a text of its own comes first."""
    assert value.shown() == shown


@pytest.mark.parametrize(
    ("value", "json"),
    [
        (Value("r", 4700.0, OHMS), {"value": 4700.0, "unit": "ohm", "text": "4.7 kohm"}),
        (Value("r", (1.0, 2.0), VOLTS), {"value": [1.0, 2.0], "unit": "V", "text": "1 V, 2 V"}),
        (Value("r", 0.5, NUMBER), {"value": 0.5, "unit": None, "text": "0.5"}),
        (Value("r", "104"), {"value": "104", "unit": None, "text": "104"}),
        (Value("r", None, OHMS, text="open"), {"value": None, "unit": "ohm", "text": "open"}),
    ],
    ids=["number", "list", "no unit", "text", "nothing"],
)
def test_a_value_is_json_with_its_unit(value: Value, json: dict[str, object]) -> None:
    """Scripts get the bare number in the base unit beside what is shown."""
    assert value.to_json() == json


RUNGS = Table(
    "rungs",
    {"resistance": OHMS, "code": None},
    [{"resistance": 4700.0, "code": "4k7"}, {"code": "none"}, {"resistance": 1.0, "extra": 5}],
)


def test_a_table_shows_its_columns_alone() -> None:
    """A missing cell is empty, and what is no column is not shown."""
    assert RUNGS.cells() == [("4.7 kohm", "4k7"), ("", "none"), ("1 ohm", "")]


def test_a_table_in_a_line_leaves_empty_cells_out() -> None:
    """A table fits a line: rows apart by semicolons."""
    assert RUNGS.shown() == "4.7 kohm, 4k7; none; 1 ohm"


def test_a_table_is_json_with_every_column_in_every_row() -> None:
    """Scripts find each column in each row."""
    assert RUNGS.to_json() == {
        "value": [
            {"resistance": 4700.0, "code": "4k7"},
            {"resistance": None, "code": "none"},
            {"resistance": 1.0, "code": None},
        ],
        "unit": None,
        "text": "4.7 kohm, 4k7; none; 1 ohm",
    }


def test_an_answer_gives_a_value_by_name() -> None:
    """Named answers are found by their name: a value's number, a table's rows."""
    answer = Answer([Value("r", 5.0, OHMS), RUNGS])
    assert (answer["r"], answer["rungs"]) == (5.0, RUNGS.rows)


def test_an_answer_without_that_name_says_so() -> None:
    """A name that the answer lacks is an error, not nothing."""
    with pytest.raises(KeyError, match="current"):
        Answer([Value("r", 5.0, OHMS)])["current"]


def test_a_verdict_needs_its_reason() -> None:
    """A verdict never comes without the sentence that says why."""
    with pytest.raises(ValueError, match="says why"):
        Answer([], verdict="pass")


def test_a_verdict_is_one_of_five_words() -> None:
    """A misspelt verdict is the programmer's mistake, and is refused."""
    with pytest.raises(ValueError, match="no such verdict: ok"):
        Answer([], verdict="ok", why="5 is below 6")  # type: ignore[arg-type]


@QUICK
@given(st.lists(st.sampled_from(VERDICTS)))
def test_the_worst_verdict_wins(verdicts: list[Verdict]) -> None:
    """Of several verdicts fail beats cannot tell, marginal, pass and info, in that order."""
    order = ["fail", "cannot tell", "marginal", "pass", "info"]
    expected = next((one for one in order if one in verdicts), "info")
    assert worst(verdicts) == expected


def test_a_source_says_how_it_is_known() -> None:
    """The evidence is read beside the source, in words."""
    assert [str(Source("IEC 60063", PUBLISHED)), str(Source("trade rule", PRACTICE))] == [
        "IEC 60063 (published source)",
        "trade rule (common practice, no source)",
    ]
