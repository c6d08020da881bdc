"""A calculation as a record: cautions, what was given and taken, formula, answer, sources."""

from __future__ import annotations

from fixbook.core.answer import Table, Verdict
from fixbook.core.calculation import Result
from fixbook.core.sheet import (
    BAD,
    DOUBT,
    GOOD,
    INFO,
    Block,
    CautionBlock,
    ReadingBlock,
    TableBlock,
    TextBlock,
)

WEIGHTS: dict[Verdict, str] = {
    "pass": GOOD, "marginal": DOUBT, "fail": BAD, "cannot tell": DOUBT, "info": INFO,
}  # fmt: skip


def record_blocks(result: Result) -> list[Block]:
    """Give a calculation as the blocks of a page."""
    calc, answer = result.calculator, result.answer
    blocks: list[Block] = [CautionBlock("", one) for one in result.cautions]
    if answer.verdict is not None:
        weight = WEIGHTS[answer.verdict]
        blocks.append(
            ReadingBlock("Verdict", answer.verdict, answer.word or "", answer.why, weight)
        )
    elif answer.why:
        blocks.append(TextBlock("", answer.why))
    figures = [
        (_words(one.name), one.shown(), (calc.gives or {}).get(one.name, ""))
        for one in answer.values
        if not isinstance(one, Table) and one.shown()
    ]
    if figures:
        blocks.append(TableBlock("Answer", ("figure", "value", "meaning"), tuple(figures)))
    for one in answer.values:
        if isinstance(one, Table):
            names = tuple(_words(name) for name in one.columns)
            blocks.append(TableBlock(_words(one.name), names, tuple(one.cells())))
    blocks += answer.drawings
    inputs = [
        (_words(one.input.name), one.text, "given" if one.given else "not given, taken so")
        for one in result.inputs
        if one.given or one.text
    ]
    blocks.append(TableBlock("Inputs", ("input", "value", "how known"), tuple(inputs)))
    if calc.formula:
        blocks.append(TextBlock("Formula", calc.formula))
    for heading, texts in (
        ("Assumed", result.assumptions),
        ("Notes", answer.notes),
        ("Sources", [str(source) for source in calc.sources]),
    ):
        if texts:
            blocks.append(TextBlock(heading, "\n".join(texts)))
    return blocks


def _words(name: str) -> str:
    return name.replace("_", " ")
