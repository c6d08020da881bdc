"""A calculation, a calculator's help and the list of calculators, as styled lines."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.core.answer import Table
from fixbook.core.calculation import Result
from fixbook.core.calculator import Calculator
from fixbook.core.inputs import Input
from fixbook.core.typed_input import describe_limits, display
from fixbook.render.lines import (
    BAD,
    CAUTION,
    DOUBT,
    GOOD,
    HEADING,
    PLAIN,
    QUIET,
    TITLE,
    Line,
    hanging,
    paragraphs,
    wrap,
)
from fixbook.render.table import table_lines

VERDICT_STYLE = {
    "pass": GOOD,
    "marginal": DOUBT,
    "fail": BAD,
    "cannot tell": DOUBT,
    "info": PLAIN,
}


def answer_lines(result: Result, width: int) -> list[Line]:
    """Lay a result out: the verdict and why, the figures, what was assumed, cautions, sources."""
    calc, answer = result.calculator, result.answer
    lines: list[Line] = [[(TITLE, line)] for line in wrap(calc.question, width)]
    for caution in result.cautions:
        lines += hanging("! ", caution, width, style=CAUTION)
    lines.append([])
    given = [(one.input.name.replace("_", " "), one.text) for one in result.inputs if one.given]
    lines += table_lines(("given", ""), given, width)
    lines.append([])
    if answer.verdict is not None:
        word = f"{answer.verdict}, {answer.word}" if answer.word else answer.verdict
        lines += hanging("verdict: ", word, width, style=VERDICT_STYLE[answer.verdict])
    if answer.why:
        lines += paragraphs(answer.why, width)
    figures = [
        (one.name.replace("_", " "), one.shown())
        for one in answer.values
        if not isinstance(one, Table) and one.shown()
    ]
    lines += table_lines(("answer", ""), figures, width) if figures else []
    for one in answer.values:
        if isinstance(one, Table):
            lines += [[(HEADING, line)] for line in wrap(one.name.replace("_", " "), width)]
            names = [name.replace("_", " ") for name in one.columns]
            lines += table_lines(names, one.cells(), width)
    if answer.drawings:
        from fixbook.render.sheet import sheet_lines

        drawn = sheet_lines(answer.drawings, width)
        lines += [[], *drawn] if drawn else []
    lines.append([])
    for heading, texts in (
        ("formula", [calc.formula] if calc.formula else []),
        ("note", answer.notes),
        ("assumed", result.assumptions),
        ("source", [str(source) for source in calc.sources]),
    ):
        for text in texts:
            lines += hanging(f"{heading}: ", text, width, style=QUIET)
    return lines


def help_lines(calc: Calculator, width: int) -> list[Line]:
    """Lay a calculator's help out: question, inputs with units and defaults, answers, sources."""
    lines: list[Line] = [[(TITLE, line)] for line in wrap(calc.question, width)]
    lines += [[], *paragraphs(f"fixbook calc {calc.name} {_usage(calc)}", width), []]
    lines += table_lines(("input", "", ""), [input_row(one) for one in calc.inputs], width)
    if calc.gives:
        rows = [(name, meaning) for name, meaning in calc.gives.items()]
        lines += [[], *table_lines(("answer", ""), rows, width)]
    if calc.formula:
        lines += [[], *hanging("formula: ", calc.formula, width)]
    if calc.help:
        lines.append([])
        for part in calc.help.split("\n\n"):
            lines += [*paragraphs(" ".join(part.split()), width), []]
    for caution in calc.cautions:
        lines += hanging("! ", caution, width, style=CAUTION)
    for source in calc.sources:
        lines += hanging("source: ", str(source), width, style=QUIET)
    return lines


def input_row(field: Input) -> tuple[str, str, str]:
    """Describe an input in three cells: its name, what it is, its default or that it is needed."""
    unit = field.kind.shown if field.form in ("quantity", "range") else ""
    what = field.help or (field.kind.word if field.form in ("quantity", "range") else "")
    parts = [what, f"[{unit}]" if unit else "", ", ".join(field.choices)]
    parts.append(describe_limits(field) if field.form in ("quantity", "range") else "")
    parts.append("several: repeat it, or separate by semicolons" if field.many else "")
    if field.form == "record":
        fields = (f"{one.name}{'' if one.required else '?'}" for one in field.fields)
        parts.append(f"written '{field.name}=name=value name=value' of {', '.join(fields)}")
    default = display(field, field.default)
    last = "needed" if field.required else (f"= {default}" if default else "may be left out")
    return field.name, "; ".join(part for part in parts if part), last


def list_lines(
    groups: Sequence[tuple[str, Sequence[Calculator]]], width: int, off: str = ""
) -> list[Line]:
    """Lay out the list of calculators by what they are for; `off` says which plugins are off."""
    lines: list[Line] = []
    for heading, calculators in groups:
        lines += [[], *[[(HEADING, line)] for line in wrap(heading, width)]]
        rows = [(one.name, one.question) for one in calculators]
        lines += table_lines(("", ""), rows, width)
    lines += [[], [(QUIET, "Help for one: fixbook calc NAME --help")]]
    lines += paragraphs(off, width, style=DOUBT) if off else []
    return lines[1:]


def _usage(calc: Calculator) -> str:
    words = []
    for one in calc.inputs:
        word = f"{one.name}={'|'.join(one.choices) if one.choices else '…'}"
        words.append(word if one.required else f"[{word}]")
    return " ".join(words).replace("…", "...")
