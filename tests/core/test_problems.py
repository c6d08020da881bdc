"""Faults of files: how they read, how they sort, and which names are offered."""

from __future__ import annotations

import pytest

from fixbook.core.problems import Problem, close_matches, did_you_mean, sentence

UNITS = ["power-amplifier", "valve-amplifier", "linear-supply", "turntable"]


def test_a_problem_reads_as_file_line_column_found_expected() -> None:
    """An editor can jump to the place, and the sentence ends with what to do."""
    problem = Problem("amp/hum.md", 7, 3, "date", "'yesterday' is no date", "write 2026-11-25")
    assert str(problem) == "amp/hum.md:7:3: 'yesterday' is no date; write 2026-11-25"


def test_a_problem_is_a_row_of_plain_values() -> None:
    """The JSON row holds every part under its own name."""
    assert Problem("hum.md", 7, 3, "date", "found", "do").to_json() == {
        "file": "hum.md",
        "line": 7,
        "column": 3,
        "rule": "date",
        "problem": "found",
        "do": "do",
    }


def test_problems_sort_by_place() -> None:
    """Faults come in the order of a reader: by file, line and column, as numbers."""
    places = [("b.md", 1, 1), ("a.md", 10, 1), ("a.md", 9, 12), ("a.md", 9, 2)]
    problems = sorted(Problem(*place, "rule", "found", "do") for place in places)
    assert [(one.file, one.line, one.column) for one in problems] == [
        ("a.md", 9, 2),
        ("a.md", 9, 12),
        ("a.md", 10, 1),
        ("b.md", 1, 1),
    ]


@pytest.mark.parametrize(
    ("typed", "best"),
    [
        ("power-amplifer", "power-amplifier"),
        ("Power", "power-amplifier"),
        ("supply", "linear-supply"),
        ("tuntable", "turntable"),
        (" turntable ", "turntable"),
    ],
    ids=["a letter missing", "a beginning", "a part", "a slip", "blanks around"],
)
def test_the_nearest_name_comes_first(typed: str, best: str) -> None:
    """A misspelt, shortened or loosely typed name finds the one that was meant."""
    assert close_matches(typed, UNITS)[0] == best


@pytest.mark.parametrize("typed", ["", "   ", "zzz", "x" * 81, "\0"])
def test_nothing_near_offers_nothing(typed: str) -> None:
    """A word that resembles no name gets no guess."""
    assert close_matches(typed, UNITS) == ()


def test_at_most_three_names_are_offered_and_none_twice() -> None:
    """The offer stays short enough to read."""
    names = [f"channel-{number}" for number in range(9)]
    offered = close_matches("channel", [*names, *names])
    assert len(offered) == len(set(offered)) == 3


def test_the_question_names_what_was_perhaps_meant() -> None:
    """Several near names are joined by 'or'."""
    found = did_you_mean("supply", ["linear-supply", "supply-rail", "turntable"])
    assert found == "did you mean supply-rail or linear-supply?"


def test_without_a_near_name_the_other_hint_holds() -> None:
    """Where nothing is near, the caller's own hint is given."""
    assert did_you_mean("zzz", UNITS, otherwise="take a known unit") == "take a known unit"


@pytest.mark.parametrize(
    ("text", "said"),
    [("it is so", "It is so."), ("did you mean a?", "Did you mean a?"), ("None is here.", "None is here."),
     ("a, b, …", "A, b, …"), ("", "")],
)  # fmt: skip
def test_a_sentence_ends_once(text: str, said: str) -> None:
    """A question or a sentence gets no second full stop."""
    assert sentence(text) == said
