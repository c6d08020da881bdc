"""Jobs as values: what they refuse, and how they are read from JSON."""

from __future__ import annotations

from datetime import date

import pytest
from fixbook_plugins.job_history.errors import JobError
from fixbook_plugins.job_history.job import (
    OUTCOMES,
    STAGES,
    Job,
    Note,
    PartUsed,
    Reading,
    model_key,
)
from fixbook_plugins.job_history.job_json import job_from_json, job_to_json
from fixbook_plugins.job_history.merging import overlay
from fixbook_plugins.job_history.note_links import linked_entries, linked_jobs
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TEXTS = st.text(st.characters(blacklist_categories=("Cs", "Cc")), max_size=30).map(str.strip)
DAYS = st.none() | st.dates(date(1990, 1, 1), date(2026, 11, 1))
JOBS = st.builds(
    Job,
    number=st.from_regex(r"[A-Z]{0,2}[0-9]{1,6}", fullmatch=True),
    booked_in=DAYS,
    unit=TEXTS,
    model=TEXTS,
    complaint=TEXTS,
    stage=st.sampled_from(STAGES),
    outcome=st.sampled_from(("", *OUTCOMES)),
    minutes=st.none() | st.integers(0, 9_999),
    signs=st.dictionaries(st.from_regex("[a-z]{3,9}", fullmatch=True), st.just("seen"), max_size=3),
    faults=st.lists(st.from_regex("[a-z-]{3,9}", fullmatch=True), unique=True, max_size=3).map(
        tuple
    ),
    parts=st.lists(st.builds(PartUsed, what=TEXTS.filter(bool), value=TEXTS), max_size=2).map(
        tuple
    ),
    readings=st.lists(
        st.builds(
            Reading,
            fault=st.just("amp-hum"),
            target=TEXTS.filter(bool),
            kind=st.sampled_from(("ohms", "volts", "farads")),
            before=st.none() | st.floats(-1e9, 1e9),
            after=st.none() | st.floats(-1e9, 1e9),
        ),
        max_size=2,
    ).map(tuple),
    notes=st.lists(st.builds(Note, when=st.just(""), text=TEXTS), max_size=2).map(tuple),
)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"number": " "}, "empty or has blanks"),
        ({"number": "7\n8"}, "cannot be printed"),
        ({"number": "7" * 61}, "longer than 60"),
        ({"stage": "shelved"}, "the stage is 'shelved'"),
        ({"outcome": "mended"}, "the outcome is 'mended'"),
        ({"minutes": -1}, "minutes is -1"),
        ({"booked_in": date(2026, 2, 1), "handed_over": date(2026, 1, 1)}, "before it was booked"),
        ({"return_of": "7"}, "a return of itself"),
    ],
)
def test_a_job_refuses_what_cannot_be(changes, said):
    """A job that makes no sense cannot be made, and the reason is a sentence."""
    with pytest.raises(ValueError, match=said):
        Job(**{"number": "7", **changes})


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(JOBS)
def test_json_is_read_back_as_the_same_job(job):
    """What is written as JSON is read back as the same job."""
    assert job_from_json(job_to_json(job)) == job


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"compliant": "x"}, "did you mean complaint"),
        ({"customer_name": "x"}, "nothing about customers"),
        ({"booked_in": "May"}, "a day as 2026-11-25"),
        ({"minutes": "about 40"}, "a whole number of minutes"),
        ({"minutes": True}, "a whole number of minutes"),
        ({"parts": "relay"}, "parts is 'relay'"),
        ({"parts": [{"what": "relay", "makes": "x"}]}, "parts has no field 'makes'"),
        ({"parts": [{"what": "relay", "count": "0"}]}, "the count of 'relay'"),
        ({"readings": [{"fault": "a", "target": "b", "kind": "ohm"}]}, "no kind of quantity"),
        ({"signs": ["hum"]}, "signs is"),
        ({"notes": [{"text": 4.5}]}, "wanted is a text"),
        ({"complaint": "x" * 20_001}, "at most 20,000"),
        ({"stage": "nowhere"}, "the stage is 'nowhere'"),
    ],
)
def test_what_json_cannot_say_is_refused_in_words(values, said):
    """A field that cannot be used is named, with what was wanted."""
    with pytest.raises(JobError) as refused:
        job_from_json({"number": "7", **values})
    assert said in f"{refused.value.why} {refused.value.hint}"


def test_a_reading_in_json_may_have_its_unit():
    """A reading may be a text with its unit, read as on the bench."""
    row = {"fault": "amp-hum", "target": "ESR", "kind": "ohms", "before": "4R7", "after": 0.05}
    job = job_from_json({"number": "7", "readings": [row]})
    assert job.readings == (Reading("amp-hum", "ESR", "ohms", 4.7, 0.05),)


def test_models_are_compared_by_letters_and_digits():
    """A model is the same however it is spaced and written."""
    assert model_key("QX-200 Rev. B") == model_key("qx200 revb")


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(JOBS)
def test_the_same_import_again_changes_nothing(job):
    """Laying a job over itself gives the same job."""
    assert overlay(job, job) == job


def test_an_import_never_takes_away_what_the_bench_recorded():
    """Links, notes, readings and fields that an import does not have stay as they are."""
    reading = Reading("amp-hum", "ESR", "ohms", after=0.1)
    old = Job("7", shelf="B3", faults=("amp-hum",), notes=(Note("", "mine"),), readings=(reading,))
    new = Job("7", complaint="hums", faults=("amp-dc",), notes=(Note("", "theirs"),))
    merged = overlay(old, new)
    assert (merged.shelf, merged.complaint) == ("B3", "hums")
    assert merged.faults == ("amp-hum", "amp-dc")
    assert [note.text for note in merged.notes] == ["mine", "theirs"]
    assert merged.readings == (reading,)


def test_only_the_columns_of_an_import_are_laid_over():
    """A stage that the import has no column for stays, even where its default differs."""
    old = Job("7", stage="on-bench", outcome="fixed")
    new = Job("7", stage="handed-over", outcome="improved")
    merged = overlay(old, new, ("outcome",))
    assert (merged.stage, merged.outcome) == ("on-bench", "improved")


@pytest.mark.parametrize(
    ("text", "entries", "jobs"),
    [
        ("see [this](fault:amp-hum) and [that](job:2040)", ("amp-hum",), ("2040",)),
        ("as fault:amp-hum, again; job:J-7.", ("amp-hum",), ("J-7",)),
        ("fault:amp-hum twice fault:amp-hum", ("amp-hum",), ()),
        ("(fault:amp-hum)", ("amp-hum",), ()),
        ("default:amp-hum and http://x/job:4", (), ()),
        ("the fault: none", (), ()),
        ("![picture](job:4)", (), ("4",)),
    ],
)
def test_links_are_found_in_notes(text, entries, jobs):
    """Links in CommonMark and bare ones are found; words that look like them are not."""
    assert (linked_entries(text), linked_jobs(text)) == (entries, jobs)
