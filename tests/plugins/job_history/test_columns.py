"""Where the columns of a history go, and what is kept out because it could name a customer."""

from __future__ import annotations

import pytest
from fixbook_plugins.job_history.columns import NAMES, NOTHING, corrected, guess
from fixbook_plugins.job_history.import_memory import Layout, Memory, load, save
from fixbook_plugins.job_history.privacy import without_contacts
from hypothesis import given
from hypothesis import strategies as st

from fixbook.api import FixbookError


def fields(columns, rows=()):
    """Guess where columns go."""
    sample = [dict(zip(columns, row, strict=True)) for row in rows]
    return {one.column: one.field for one in guess(columns, sample)}


def test_the_columns_of_a_common_history_go_where_they_belong():
    """Names as shops write them find their fields."""
    columns = ["Job No.", "Date In", "DateOut", "Make", "Model", "S/N", "Reported fault",
               "Work done", "Result", "Labour (hours)", "Parts Used", "Remarks"]  # fmt: skip
    assert list(fields(columns).values()) == [
        "number", "booked_in", "handed_over", "make", "model", "serial", "complaint",
        "work", "outcome", "hours", "parts", "notes",
    ]  # fmt: skip


@pytest.mark.parametrize("field", NAMES)
def test_every_name_goes_to_its_field(field):
    """Each field's own name goes to it, so an export comes back in."""
    value = "amp-hum" if field == "faults" else ""
    assert fields([field], [[value]]) == {field: field}


@pytest.mark.parametrize(
    "column",
    ["Customer", "Customer Name", "Customer No", "Client notes", "Phone number", "E-Mail", "name",
     "Street", "Post code", "Kunde", "Contact", "Telefon", "customerId"],
)  # fmt: skip
def test_what_looks_like_a_customer_goes_nowhere(column):
    """Names, numbers and addresses are dropped, and the reason says so."""
    (one,) = guess([column], [])
    assert (one.field, "customers" in one.why) == (NOTHING, True)


@pytest.mark.parametrize(
    "values",
    [
        ["a@example.org", "b@example.org"],
        ["+44 20 7946 0000", "020 7946 0001"],
        ["Mr Test", "Mrs X"],
    ],
    ids=["mail", "phone", "titles"],
)
def test_a_harmless_name_over_contacts_goes_nowhere(values):
    """What stands in a column counts as well as what it is called."""
    assert fields(["Remarks"], [[one] for one in values]) == {"Remarks": NOTHING}


def test_text_where_names_should_stand_is_refused():
    """A file without a row of names, of long texts, is told what it should begin with."""
    with pytest.raises(FixbookError, match="the name of a column has 9,000 characters"):
        guess(["number", "ab " * 3_000], [])


def test_a_customers_complaint_is_a_complaint():
    """A word for customers in the name of a field keeps nothing out."""
    assert fields(["Customer complaint"], [["hums"]]) == {"Customer complaint": "complaint"}


def test_a_faults_column_of_words_is_a_complaint():
    """Only ids of write-ups are links; words under the same name are what was complained of."""
    assert fields(["Faults"], [["hums loudly"]]) == {"Faults": "complaint"}


def test_the_surer_of_two_columns_wins():
    """One column is the number; the other goes nowhere and says why."""
    first, second = guess(["ID", "Job number"], [])
    assert (first.field, second.field) == (NOTHING, "number")
    assert "surer" in first.why


def test_a_correction_moves_a_field():
    """Where one column takes a field over, the other lets it go."""
    found = corrected(guess(["ID", "Job number"], []), ["id=number"])
    assert [one.field for one in found] == ["number", NOTHING]


@pytest.mark.parametrize("text", ["nowhere=number", "ID=nonsense", "ID"])
def test_a_correction_that_names_nothing_is_refused(text):
    """An unknown column or field is said, with those there are."""
    with pytest.raises(FixbookError):
        corrected(guess(["ID"], []), [text])


@given(st.lists(st.text(max_size=20), max_size=6, unique=True), st.text(max_size=20))
def test_any_names_are_guessed(columns, value):
    """Whatever columns are called, each goes to a field or nowhere, and no field twice alone."""
    found = guess(columns, [dict.fromkeys(columns, value)])
    assert [one.column for one in found] == columns
    assert {one.field for one in found} <= {*NAMES, NOTHING}


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("call +44 20 7946 0000 when done", "[left out] when done"),
        ("tel: 020 7946 0000", "[left out]"),
        ("mail me@example.org", "mail [left out]"),
        ("replaced 2SA1234 and 1000 uF 63 V", "replaced 2SA1234 and 1000 uF 63 V"),
        ("rail at +15.0 V, -15.1 V", "rail at +15.0 V, -15.1 V"),
    ],
)
def test_contacts_in_texts_are_taken_out(text, left):
    """Ways to reach people go; part numbers, values and rails stay."""
    assert without_contacts(text)[0] == left


def test_a_layout_is_remembered_by_its_columns(tmp_path):
    """A file with the same columns is read as the last time, in whatever order they stand."""
    layout = Layout({"A": "number", "B": "work"}, (), True)
    save(str(tmp_path), Memory().with_layout(layout))
    assert load(str(tmp_path)).layout_for(["B", "A"]) == layout


@pytest.mark.parametrize(
    "text", ["", "[]", '{"version": 2}', '{"version": 1}', "\0",
             '{"version": 1, "words": {"x": "y"}, "units": {}, "layouts": []}'],
)  # fmt: skip
def test_a_damaged_memory_is_said(tmp_path, text):
    """What is not ours any more is refused with what to do, not guessed around."""
    (tmp_path / "job-import.json").write_text(text)
    with pytest.raises(FixbookError, match="cannot be used"):
        load(str(tmp_path))
