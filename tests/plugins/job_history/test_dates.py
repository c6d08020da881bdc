"""Dates and times of work as shops write them, beside dateutil."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from fixbook_plugins.job_history.dates import DateError, order_of, read_date
from fixbook_plugins.job_history.durations import read_minutes
from hypothesis import given, settings
from hypothesis import strategies as st

TODAY = date(2026, 11, 25)
DAYS = st.dates(date(1950, 1, 1), date(2026, 12, 31))


def day(text, *, day_first=True):
    """Read a date as on the day of this test."""
    return read_date(text, day_first=day_first, today=TODAY)


@pytest.mark.parametrize(
    "text",
    """2024-03-05|2024-03-05 14:33|2024-03-05T14:33:00Z|20240305|05/03/2024|5.3.24|5-3-2024 14:10
    5-Mar-2024|05-MAR-24|Mar 5, 2024|5th March 2024|Tue 5 Mar 2024 10:00|5. März 2024
    5 de marzo de 2024|5 mars 2024|45356|45356.5|1709600000|1709600000000|2024/3/5""".split("|")
    ,
    ids=str.strip,
)  # fmt: skip
def test_one_day_in_many_forms(text):
    """Each way of writing the fifth of March 2024 gives that day."""
    assert {day(one.strip()) for one in text.splitlines()} == {date(2024, 3, 5)}


@pytest.mark.parametrize("text", ["", "-", "n/a", "0000-00-00", "None", "unknown"])
def test_no_day(text):
    """A cell that says that there is no date gives none."""
    assert day(text) is None


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("31/02/2024", "on no calendar"),
        ("March 2024", "lacks a day"),
        ("5 March", "lacks a day, a month or a year"),
        ("2024", "no date"),
        ("soon", "no date"),
        ("14:30", "no date"),
        ("3/25/2024", "--month-first"),
        ("01/01/2090", "in the future"),
        ("01/01/1899", "before 1950"),
        ("99999", "no date"),
    ],
)
def test_what_is_no_date_is_refused_with_the_reason(text, why):
    """A day is never made up where the text has none, or two."""
    with pytest.raises(DateError, match=why):
        day(text)


@given(DAYS, st.sampled_from(["%Y-%m-%d", "%d %b %Y", "%B %d, %Y", "%d/%m/%Y", "%Y%m%d"]))
def test_a_day_that_a_program_wrote_is_read_back(one, form):
    """Forms that programs write mean the day that was written."""
    assert day(one.strftime(form)) == one


@given(DAYS, st.booleans())
def test_the_order_of_figures_is_dateutils(one, day_first):
    """Day first and month first mean what dateutil means by them."""
    parser = pytest.importorskip("dateutil.parser")
    text = one.strftime("%d/%m/%Y" if day_first else "%m/%d/%Y")
    assert day(text, day_first=day_first) == parser.parse(text, dayfirst=day_first).date()


@settings(max_examples=300)
@given(st.text(max_size=40) | st.from_regex(r"[0-9 ./:a-z-]{1,20}", fullmatch=True))
def test_any_text_gives_a_day_none_or_a_reason(text):
    """No text ends in any other error, and no day is out of range."""
    try:
        found = day(text)
    except DateError as error:
        assert str(error)
    else:
        assert found is None or 1950 <= found.year <= 2027


@pytest.mark.parametrize(
    ("texts", "day_first"),
    [
        (["03/04/2024", "03/25/2024"], False),
        (["03/04/2024", "25/03/2024"], True),
        (["03/04/2024"], True),
        (["25/03/2024", "03/25/2024"], True),
    ],
    ids=["month first", "day first", "as the shop says", "both ways"],
)
def test_a_column_shows_its_order(texts, day_first):
    """A second figure above 12 shows that the month stands first; without any, the shop says."""
    assert order_of(texts, day_first=True) == day_first


def test_a_spreadsheets_day_number_is_openpyxls():
    """The day numbers of spreadsheets are counted as openpyxl counts them."""
    pytest.importorskip("openpyxl")
    from openpyxl.utils.datetime import from_excel

    assert from_excel(45356) == datetime(2024, 3, 5)
    assert day("45356") == date(2024, 3, 5)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("45", 45), ("45 min", 45), ("1h30", 90), ("1:30", 90), ("1:30:00", 90), ("1.5 h", 90),
        ("1,5 h", 90), ("2 hours 10 minutes", 130), ("90m", 90), ("n/a", None), ("0", 0),
    ],
)  # fmt: skip
def test_a_time_of_work(text, minutes):
    """Each way of writing a time gives its whole minutes."""
    assert read_minutes(text) == minutes


def test_a_bare_number_is_hours_where_the_column_says_so():
    """0.75 under a column of hours is 45 minutes, and 90 min there stay 90."""
    assert (read_minutes("0,75", hours=True), read_minutes("90 min", hours=True)) == (45, 90)


@given(st.text(max_size=30))
def test_any_text_gives_minutes_none_or_a_reason(text):
    """No text ends in any other error, and no time is below nothing."""
    try:
        found = read_minutes(text)
    except ValueError as error:
        assert str(error)
    else:
        assert found is None or found >= 0
