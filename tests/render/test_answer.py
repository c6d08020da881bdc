"""A calculation, its help and the list of calculators as lines."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest

from fixbook.api import (
    OHMS,
    PRACTICE,
    VOLTS,
    Amps,
    Answer,
    Source,
    Table,
    Value,
    Volts,
    calculator,
    within,
)
from fixbook.core.calculation import assign, run
from fixbook.render.answer import answer_lines, help_lines, list_lines
from fixbook.render.lines import text_of, width_of


@calculator(
    "ohms-of",
    formula="R = V/I",
    sources=[Source("a handbook of the bench, chapter on the law of resistance")],
    cautions=["Take the supply away before you touch the part."],
    gives={"resistance": "what draws this current", "levels": "each step"},
)
def ohms_of(
    voltage: Annotated[Volts, "across the part", within(0, 1000)],
    current: Annotated[Amps, PRACTICE] = 0.5,
    mode: Literal["cold", "hot"] = "cold",
) -> Answer:
    """What resistance draws this current?

    The part is taken as linear.
    """
    rows = [{"step": 1.0, "level": voltage}]
    table = Table("levels", {"step": None, "level": VOLTS}, rows)
    return Answer(
        [Value("resistance", voltage / current, OHMS), table],
        verdict="fail",
        word="high",
        why="It is above the window of 10 to 20 ohm.",
        notes=["rounded"],
        assumptions=["a steady current"],
    )


CALC = ohms_of.__fixbook_calculator__


def result_text(width: int = 80) -> list[str]:
    """Lay a result out, without styles."""
    return [text_of(line) for line in answer_lines(run(CALC, assign(CALC, ["12V"])), width)]


def help_text(width: int) -> list[str]:
    """Lay the help out, without styles."""
    return [text_of(line) for line in help_lines(CALC, width)]


def listed(width: int) -> list[str]:
    """Lay a list out, without styles."""
    return [text_of(line) for line in list_lines([("Sums of the bench", [CALC])], width)]


@pytest.mark.parametrize(
    "line",
    [
        "What resistance draws this current?",
        "! Take the supply away before you touch the part.",
        "voltage  12 V",
        "verdict: fail, high",
        "It is above the window of 10 to 20 ohm.",
        "resistance  24 ohm",
        "formula: R = V/I",
        "note: rounded",
        "assumed: current taken as 500 mA (common practice, no source)",
        "assumed: a steady current",
    ],
)
def test_a_result_shows_all_that_belongs_to_it(line):
    """Question, caution, inputs, verdict and why, figures, formula, notes and assumptions."""
    assert line in result_text()


def test_the_caution_stands_before_the_figures():
    """What can hurt is read before what was asked for."""
    lines = result_text()
    assert lines.index("! Take the supply away before you touch the part.") < lines.index(
        "verdict: fail, high"
    )


def test_a_table_of_answers_is_laid_out_as_one():
    """An answer of several rows has its name and its columns."""
    lines = result_text()
    at = lines.index("levels")
    assert lines[at + 1].split() == ["step", "level"]


def test_the_verdict_is_said_in_words_and_weighed_by_style():
    """Colour only repeats what the word says."""
    lines = answer_lines(run(CALC, assign(CALC, ["12V"])), 80)
    assert [("strong", "verdict: "), ("bad", "fail, high")] in lines


def test_help_lists_inputs_with_units_choices_limits_and_defaults():
    """The form in words: what each input is, its unit, what is valid, what is taken if left out."""
    text = " ".join(" ".join(text_of(line) for line in help_lines(CALC, 110)).split())
    assert "voltage across the part; [V]; from 0 V up to 1 kV needed" in text
    assert "= 500 mA" in text
    assert "cold, hot = cold" in text


def test_help_shows_the_command_with_its_inputs():
    """Inputs that may be left out stand in brackets."""
    lines = [text_of(line) for line in help_lines(CALC, 110)]
    assert "fixbook calc ohms-of voltage=... [current=...] [mode=cold|hot]" in lines


@pytest.mark.parametrize("width", [40, 60, 80, 200])
@pytest.mark.parametrize("lay", [result_text, help_text, listed], ids=["result", "help", "list"])
def test_answers_keep_to_the_width(lay, width):
    """A result, a help and a list fit narrow and wide terminals."""
    assert [line for line in lay(width) if width_of(line) > width] == []


def test_the_list_groups_calculators_by_what_they_are_for():
    """A heading, each calculator with its question, and how to get help."""
    assert listed(80) == [
        "Sums of the bench",
        "ohms-of  What resistance draws this current?",
        "",
        "Help for one: fixbook calc NAME --help",
    ]
