"""A pick list shared out over the drawers: what is there, what stands in, what is to be ordered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fixbook.api import Bench

from .judged import SAME, STAND_IN, Judged
from .judging import Judge
from .lines import Line
from .stock import Stock

DRAWER, ORDER, LOOK = "in the drawer", "to order", "read off the part"
STANDS_IN, MEASURE = "stand-in", "measure it first"
STATUSES = (DRAWER, STANDS_IN, MEASURE, ORDER, LOOK)
_BEST_FIRST = ("pass", "info", "marginal", "cannot tell", "fail")
MOST_REFUSED = 3
"""So many parts from the drawer are named with the reason why they will not do."""


@dataclass(frozen=True, slots=True)
class Pick:
    """Some pieces of a line, and where they come from."""

    count: int
    status: str
    judged: Judged | None = None
    """The item of the stock list; None where there is none."""


@dataclass(frozen=True, slots=True)
class Picked:
    """A line with all its pieces accounted for."""

    line: Line
    picks: tuple[Pick, ...]
    refused: tuple[Judged, ...] = ()
    """What lies in the drawer and will not do, or of which it cannot be told, best first."""


def pick(bench: Bench, lines: Sequence[Line], stock: Stock) -> list[Picked]:
    """Share the stock out over the lines; no piece is promised twice.

    Every line gets what is the same first, so that a stand-in for one takes nothing that is the
    very part another asks for.
    """
    judge = Judge(bench)
    left = {item.row: item.part.count for item in stock.items}
    judged: list[list[Judged]] = []
    for number, line in enumerate(lines, 1):
        held = judge.judge_all(line, stock.items) if line.is_stated else []
        judged.append(sorted(held, key=_rank))
        bench.progress("parts held against the stock list", number, len(lines))
    same = [
        _take(line, of, left, SAME, line.part.count) for line, of in zip(lines, judged, strict=True)
    ]
    picked = []
    for line, of, first in zip(lines, judged, same, strict=True):
        missing = line.part.count - sum(one.count for one in first)
        picks = [*first, *_take(line, of, left, STAND_IN, missing)]
        missing = line.part.count - sum(one.count for one in picks)
        picks += _take(line, of, left, MEASURE, missing)
        missing = line.part.count - sum(one.count for one in picks)
        if missing:
            picks.append(Pick(missing, ORDER if line.is_stated else LOOK))
        wanting = any(one.status == ORDER for one in picks)
        taken = {some.judged.item.row for some in picks if some.judged}
        refused = [
            one
            for one in of
            if not _will_do(one) and one.item.part.count and one.item.row not in taken
        ]
        picked.append(Picked(line, tuple(picks), tuple(refused[:MOST_REFUSED]) if wanting else ()))
    return picked


def totals(picked: Iterable[Picked]) -> dict[str, int]:
    """Count the pieces by where they come from."""
    counts = dict.fromkeys(STATUSES, 0)
    for one in picked:
        for some in one.picks:
            counts[some.status] += some.count
    return counts


def _take(
    line: Line, judged: Sequence[Judged], left: dict[int, int], how: str, wanted: int
) -> list[Pick]:
    """Take pieces that are the same, that stand in, or that do once they were measured."""
    status = {SAME: DRAWER, STAND_IN: STANDS_IN, MEASURE: MEASURE}[how]
    picks = []
    for one in judged:
        count = min(wanted, left[one.item.row])
        fitting = one.to_measure if how == MEASURE else one.how == how and _will_do(one)
        if count and fitting:
            left[one.item.row] -= count
            wanted -= count
            picks.append(Pick(count, status, one))
    return picks


def _will_do(one: Judged) -> bool:
    return one.verdict in ("pass", "info", "marginal")


def _rank(one: Judged) -> tuple[bool, int, bool, int, int]:
    """The same first, then the better verdict, what the write-up names, the fewer doubts."""
    named = any(reason.rule == "named in the write-up" for reason in one.reasons)
    doubts = sum(reason.verdict not in ("pass", "info") for reason in one.reasons)
    order = _BEST_FIRST.index(one.verdict)
    return one.how != SAME, order, not named, doubts, one.item.row
