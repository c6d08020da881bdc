"""Whether a part from the drawer may go in: judged by the calculators where one fits.

Capacitors go through `replacement` and, where the rail is known, `voltage-derating`; fuses through
`fuse`. They are reached by name, as on the command line; one that is not there judges nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

from fixbook.api import (
    FARADS,
    Bench,
    CalculationError,
    Entry,
    FixbookError,
    Part,
    Result,
    read,
    worst,
)

from .comparing import Words, are_identical, compare, find_named
from .judged import SAME, STAND_IN, Judged, Reason
from .lines import Line
from .places import rail_of, role_of, sizes_of
from .stock import Item

REPLACEMENT, DERATING, FUSE = "replacement", "voltage-derating", "fuse"
FAR = 3.0
"""Times more or less capacitance: nothing so far off is even held against the part."""


class Judge:
    """Holds items of the stock list against lines of a pick list."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._words = Words(bench)
        self._known: dict[tuple[str, Part, str], Mapping[str, str] | None] = {}

    def judge_all(self, line: Line, items: Iterable[Item]) -> list[Judged]:
        """Judge items, those of one kind once; what is another kind of thing is left out."""
        known: dict[tuple[object, ...], Judged | None] = {}
        found = []
        for item in items:
            kind = item.kind
            if kind not in known:
                known[kind] = self.judge(line, item)
            judged = known[kind]
            if judged is not None:
                found.append(replace(judged, item=item))
        return found

    def judge(self, line: Line, item: Item) -> Judged | None:
        """Judge an item; None where it is another kind of thing, or far off."""
        found = find_named(self._words, line, item)
        if found is not None:
            return found
        if (wanted := self._filled(REPLACEMENT, line.part, line.entry)) is not None:
            return self._capacitor(line, item, wanted["original"])
        if (wanted := self._filled(FUSE, line.part, line.entry)) is not None:
            return self._fuse(line, item, wanted)
        return compare(self._words, line, item)

    def _capacitor(self, line: Line, item: Item, original: str) -> Judged | None:
        if _is_far(line.part.value, item.part.value):
            return None
        offered = self._filled(REPLACEMENT, item.part, line.entry)
        if offered is None:
            return None
        rail = rail_of(line)
        role, said = role_of(line)
        sizes = [f"{name}={text}" for name, text in item.sizes]
        given = {
            "original": " ".join([original, *sizes_of(line.part.body)]),
            "candidate": " ".join([offered["original"], *sizes]),
            "place": f"role={role}" + (f" rail={rail:g} V" if rail else ""),
        }
        reasons = self._run(REPLACEMENT, given)
        if rail:
            reasons += self._derating(line, item, rail)
        if not said:
            reasons.append(Reason("place", "info", f"not stated, judged as {role}"))
        return self._summed_up(line, item, reasons)

    def _derating(self, line: Line, item: Item, rail: float) -> list[Reason]:
        offered = self._filled(DERATING, item.part, line.entry)
        if offered is None or "candidate" not in offered:
            return []
        before = self._filled(DERATING, line.part, line.entry) or {}
        given = {**offered, "rail": f"{rail:g} V"}
        if "candidate" in before:
            given["original"] = before["candidate"]
        return self._run(DERATING, given)

    def _fuse(self, line: Line, item: Item, wanted: Mapping[str, str]) -> Judged | None:
        if not re.search(r"\bfuse\b", item.part.is_, re.IGNORECASE):
            return None
        marking = " ".join(one for one in (item.part.value, item.part.volts) if one)
        return self._summed_up(line, item, self._run(FUSE, {**wanted, "offered": marking}))

    def _summed_up(self, line: Line, item: Item, reasons: list[Reason]) -> Judged:
        verdict = worst([one.verdict for one in reasons])
        same = verdict == "pass" and are_identical(self._words, line.part, item.part)
        return Judged(item, SAME if same else STAND_IN, verdict, tuple(reasons))

    def _filled(self, name: str, part: Part, entry: Entry) -> Mapping[str, str] | None:
        """Fill a calculator in from a part; None where it does not fit, or is not there."""
        key = name, part, entry.id
        if key not in self._known:
            try:
                fits = self._bench.calculator(name).fits
            except CalculationError:
                fits = None  # its plugin is off
            self._known[key] = fits(part, entry) if fits else None
        return self._known[key]

    def _run(self, name: str, given: Mapping[str, str]) -> list[Reason]:
        try:
            result = self._bench.calculate(name, given)
        except CalculationError as error:
            return [Reason(name, "cannot tell", error.why, name)]
        return _reasons(name, result)


def _reasons(name: str, result: Result) -> list[Reason]:
    """Give each row of the answer, or its one verdict where it has no rows."""
    for one in result.answer.values:
        if one.name == "rows":
            rows = result.answer["rows"]
            assert isinstance(rows, (list, tuple))
            return [Reason(str(row["rule"]), row["verdict"], str(row["why"]), name) for row in rows]
    verdict = result.answer.verdict
    return [Reason("derating", verdict, result.answer.why, name)] if verdict else []


def _is_far(wanted: str, offered: str) -> bool:
    old, new = _farads(wanted), _farads(offered)
    return old is not None and new is not None and not old / FAR <= new <= old * FAR


@lru_cache(maxsize=20_000)
def _farads(text: str) -> float | None:
    try:
        return read(re.split(r"[,;(]", text)[0], FARADS).value
    except FixbookError:
        return None
