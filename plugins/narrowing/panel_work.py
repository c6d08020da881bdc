"""What the narrowing panel has done beside the screen: a case opened, a step, a sheet, a note."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from fixbook.api import Bench, Block, PanelWork, TextBlock

from .case import Case, path_text, stand
from .errors import NarrowError
from .opening import guess_units, open_case, read_unit
from .showing import (
    ON_SCREEN,
    check_blocks,
    left_blocks,
    opening_blocks,
    sheet_blocks,
    stop_blocks,
    why_blocks,
)

SHEETS = 3
"""So many of the likeliest faults have their sheets among the actions."""

Done = dict[str, Any]


class Worker:
    """Works for one panel; keeps the model between the steps, until a new case is begun."""

    def __init__(self) -> None:
        self._case: Case | None = None
        self._of: tuple[str, str] = ("", "")

    def work(self, bench: Bench, wanted: PanelWork) -> Done:
        """Do what the panel asks for; NarrowError, with words, where it cannot be done."""
        doing: dict[str, Callable[[Bench, Mapping[str, str]], Done]] = {
            "begin": self._begin,
            "step": self._step,
            "why": self._why,
            "sheet": self._sheet,
            "keep": self._keep,
        }
        return doing[wanted.name](bench, wanted.values)

    def _begin(self, bench: Bench, values: Mapping[str, str]) -> Done:
        self._case = None
        case = self._open(bench, values)
        return self._seen(bench, case, opening_blocks(case, bench.vocabulary, ON_SCREEN))

    def _step(self, bench: Bench, values: Mapping[str, str]) -> Done:
        return self._seen(bench, self._open(bench, values), [])

    def _why(self, bench: Bench, values: Mapping[str, str]) -> Done:
        return {"blocks": why_blocks(stand(self._open(bench, values)))}

    def _sheet(self, bench: Bench, values: Mapping[str, str]) -> Done:
        return {"blocks": list(sheet_blocks(bench, values["id"]))}

    def _keep(self, bench: Bench, values: Mapping[str, str]) -> Done:
        case = self._open(bench, values)
        number = values.get("job", "").strip()
        if not number:
            raise NarrowError("which job? its number is not said", input="job number")
        if not bench.note_job(number, path_text(case), dict(case.found)):
            raise NarrowError(f"nothing here keeps jobs, so {number!r} cannot be noted")
        said = TextBlock("", f"The path is in job {number}: its note, and its signs.")
        return self._seen(bench, case, [said])

    def _open(self, bench: Bench, values: Mapping[str, str]) -> Case:
        wanted = (values.get("unit", "").strip(), values.get("words", "").strip())
        if self._case is None or self._of != wanted:
            unit, words = wanted
            unit = read_unit(bench, unit) if unit else _guessed(bench, words)
            self._case = open_case(bench, unit, words=words, said={})
            self._of = (unit, words)
        signs = bench.vocabulary.signs
        pairs = ((sign, answer) for sign, answer in json.loads(values.get("said") or "[]"))
        return replace(self._case, answers=tuple(pair for pair in pairs if pair[0] in signs))

    def _seen(self, bench: Bench, case: Case, before: Sequence[Block]) -> Done:
        standing = stand(case)
        belief = standing.belief
        check = [] if standing.stop else check_blocks(standing, bench.vocabulary)
        first = stop_blocks(standing, ON_SCREEN) if standing.stop else check
        blocks = [*first, *left_blocks(standing, ON_SCREEN), *before]
        sign = standing.checks[0].question.sign if standing.checks else None
        return {
            "blocks": blocks,
            "unit": case.model.unit,
            "sign": sign.id if sign else "",
            "answers": json.dumps(sign.answers if sign else ()),
            "sheets": json.dumps([belief.model.faults[at].id for at in belief.order[:SHEETS]]),
        }


def _guessed(bench: Bench, words: str) -> str:
    guesses = guess_units(bench, words)
    if not guesses:
        raise NarrowError("which kind of apparatus is it? the words do not say", input="unit")
    return guesses[0]
