"""Step by step on a terminal: one question at a time, back, reasons, and a way out to the sheets."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.api import Bench, Block, Input, TextBlock, read_value

from .belief import NOT_CHECKED
from .case import Case, Standing, stand
from .showing import check_blocks, left_blocks, stop_blocks, why_blocks

BACK, WHY, SHEET, END = "back", "why", "sheet", "end"
WAYS = (BACK, WHY, SHEET, END)
"""What can be typed in the place of an answer."""


def narrow(bench: Bench, case: Case) -> Case:
    """Ask until the user ends it; give the case as it was left.

    CalculationError where nobody can be asked.
    """
    told: set[str] = set()
    show = True
    while True:
        standing = stand(case)
        if show:
            _show(bench, standing, told)
        word = _ask(bench, standing)
        show = word not in (WHY, SHEET)
        if word == END:
            return case
        if word == BACK:
            if not case.answers:
                bench.show([TextBlock("", "This is the beginning; there is nothing to go back to.")])
            case = case.back()
        elif word == WHY:
            bench.show(why_blocks(standing))
        elif word == SHEET:
            _open_sheet(bench, standing)
        else:
            case = case.with_answer(standing.checks[0].question.id, word)


def _show(bench: Bench, standing: Standing, told: set[str]) -> None:
    bench.show(left_blocks(standing))
    if standing.stop:
        bench.show(stop_blocks(standing))
        return
    hazards = standing.checks[0].hazards
    bench.show(check_blocks(standing, bench.vocabulary, full=set(hazards) - told))
    told.update(hazards)


def _ask(bench: Bench, standing: Standing) -> str:
    """Give an answer of the next check, or one of WAYS; the end of the input is the end."""
    if standing.stop:
        return _choose(bench, "next", "what now", WAYS)
    sign = standing.checks[0].question.sign
    answers = (*sign.answers, NOT_CHECKED)
    ways = [way if way not in answers else f"{way}-instead" for way in WAYS]
    word = _choose(bench, "answer", sign.ask, (*answers, *ways))
    return word if word in answers else WAYS[ways.index(word)]


def _open_sheet(bench: Bench, standing: Standing) -> None:
    belief = standing.belief
    ids = [belief.model.faults[at].id for at in belief.order]
    if standing.sure or len(ids) == 1:
        chosen = ids[0]
    else:
        chosen = _choose(bench, "sheet", "which one, the likeliest first", ids)
    if chosen in ids:
        bench.show(sheet_blocks(bench, chosen))


def sheet_blocks(bench: Bench, id: str) -> Sequence[Block]:
    """Give a whole sheet with its title."""
    entry = bench.entry(id)
    under = ", ".join(one for one in (entry.id, entry.unit, entry.section) if one)
    return [TextBlock(entry.title, under), *bench.sheet(id)]


def _choose(bench: Bench, name: str, about: str, choices: Sequence[str]) -> str:
    field = Input(name, "choice", choices=tuple(choices), help=about)
    try:
        typed = bench.ask([field]).get(name, "")
    except EOFError:
        return END
    return str(read_value(field, typed, []))
