"""Search results as lines."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.query import Findings, Gain, Hit
from fixbook.render.lines import text_of, width_of
from fixbook.render.results import VALUES_SHOWN, results_lines

SHOWN = {"id": "amp-hum", "title": "Hums at rest", "unit": "amplifier", "section": "supply"}
HIT = Hit("amp-hum", SHOWN, 2.0, ("hum in title", "rest in title"), "a hum that is always there")


def said(findings: Findings, width: int = 80, **more) -> list[str]:
    """Lay findings out, without styles."""
    return [text_of(line) for line in results_lines(findings, width, **more)]


def test_a_hit_says_what_it_is_where_and_why():
    """Title, id, unit and section, the place that matched, and which words did."""
    assert said(Findings("hum", "hum", total=1, hits=(HIT,))) == [
        " 1. Hums at rest",
        "    amp-hum | amplifier | supply",
        "    a hum that is always there",
        "    matched: hum in title; rest in title",
        "",
        "1 found. Open one with: fixbook sheet ID",
    ]


def test_a_summary_stands_under_its_hit():
    """A plugin's line of figures belongs to one hit."""
    lines = said(
        Findings("hum", "hum", total=1, hits=(HIT,)), summaries={"amp-hum": "3 of 4 fixed"}
    )
    assert lines[4] == "    3 of 4 fixed"


def test_a_withdrawn_write_up_says_so():
    """What should not be followed any more is marked in the list already."""
    hit = Hit("a", {**SHOWN, "state": "withdrawn"}, 1.0)
    assert "    amp-hum | amplifier | supply | withdrawn" in said(
        Findings("hum", "hum", total=1, hits=(hit,))
    )


@pytest.mark.parametrize(
    ("findings", "line"),
    [
        (Findings("x", "x"), "Nothing found. Try other words"),
        (Findings("x", "x", weak=True, total=1, hits=(HIT,)), "Nothing really fits."),
        (Findings("x", "y", mended={"hmu": "hum"}, total=1, hits=(HIT,)), "hmu -> hum"),
        (Findings("x", "x", notes=("the index is busy",), total=1, hits=(HIT,)), "index is busy"),
        (Findings("x", "x", total=12, hits=(HIT,)), "1 of 12 shown."),
    ],
    ids=["nothing", "weak", "mended", "note", "more"],
)
def test_the_answer_says_how_it_came_about(findings, line):
    """Nothing found, nothing that fits, mended words, notes and the rest of the list are told."""
    assert line in " ".join(said(findings))


def test_counts_to_narrow_by_are_whole_options():
    """A facet with a choice is shown as the option that narrows by it, most frequent first."""
    facets = {"unit": (("amplifier", 5), ("supply", 2)), "kind": (("fault", 7),)}
    lines = said(Findings("x", "x", total=7, hits=(HIT,), facets=facets))
    assert [line for line in lines if line.startswith("--")] == ["--unit: amplifier 5, supply 2"]


def test_a_long_facet_says_how_many_more_there_are():
    """Only the first values are listed; the count of the others is told."""
    facets = {"unit": tuple((f"unit-{n}", 1) for n in range(VALUES_SHOWN + 3))}
    assert ", 3 more" in " ".join(said(Findings("x", "x", total=9, hits=(HIT,), facets=facets)))


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=150), st.integers(40, 200), st.integers(1, 10**9))
def test_results_never_exceed_the_width(text, width, total):
    """Any title, snippet, reason, note and facet keeps to the width."""
    hit = Hit(text, dict.fromkeys(SHOWN, text), 1.0, (text,), text)
    facets = {"unit": ((text, total), ("b", 1))}
    found = Findings(text, text, {text: text}, True, total, (hit,) * 12, facets, (text,))
    assert [line for line in said(found, width) if width_of(line) > width] == []


def test_the_parts_of_a_score_stand_under_their_hit():
    """What each word added, where it stands, and what that is made of."""
    gains = (Gain("hum", ("title", "body"), 3.0, 0.5), Gain("rest", ("title",), 1.0, 0.5))
    lines = said(Findings("hum rest", "hum rest", total=1, hits=(HIT._replace(gains=gains),)))
    assert lines[4:8] == [
        "    score 2.00",
        "    adds  words  in           worth  share",
        "    1.50  hum    title, body  3.00   0.50",
        "    0.50  rest   title        1.00   0.50",
    ]
