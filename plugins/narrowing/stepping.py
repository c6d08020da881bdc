"""Step by step on a terminal: one question at a time, back, reasons, and a way out to the sheets."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.api import Bench, Block, Input, TextBlock, read_value

from .belief import NOT_CHECKED
from .case import Case, Standing, stand
from .showing import check_blocks, left_blocks, sheet_blocks, stop_blocks, why_blocks

BACK, WHY, SHEET, END = "back", "why", "sheet", "end"
WAYS = (BACK, WHY, SHEET, END)
"""What can be typed in the place of an answer."""


def narrow(bench: Bench, case: Case, before: Sequence[Block]) -> Case:
    """Ask until the user ends it; give the case as it was left. `before` is shown first.

    CalculationError where nobody can be asked; the first check has been shown then.
    """
    told: set[str] = set()
    show = True
    while True:
        standing = stand(case)
        if show:
            bench.show([*before, *_seen(bench, standing, told)])
            before = ()
        word = _ask(bench, standing)
        show = word not in (WHY, SHEET)
        if word == END:
            return case
        if word == BACK:
            if not case.answers:
                bench.show(
                    [TextBlock("", "This is the beginning; there is nothing to go back to.")]
                )
            case = case.back()
        elif word == WHY:
            bench.show(why_blocks(standing))
        elif word == SHEET:
            _open_sheet(bench, standing)
        else:
            case = case.with_answer(standing.checks[0].question.id, word)


def _seen(bench: Bench, standing: Standing, told: set[str]) -> list[Block]:
    """Give what is left and what comes next; a hazard's whole text once."""
    if standing.stop:
        return [*left_blocks(standing), *stop_blocks(standing)]
    hazards = standing.checks[0].hazards
    check = check_blocks(standing, bench.vocabulary, full=set(hazards) - told)
    told.update(hazards)
    return [*left_blocks(standing), *check]


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


def _choose(bench: Bench, name: str, about: str, choices: Sequence[str]) -> str:
    field = Input(name, "choice", choices=tuple(choices), help=about)
    try:
        typed = bench.ask([field]).get(name, "")
    except EOFError:
        return END
    return str(read_value(field, typed, []))
