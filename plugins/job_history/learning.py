"""`fixbook job readings ENTRY`: what targets read on units that stayed fixed."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from fixbook.api import Bench, Entry, TableBlock, Target, TextBlock

from .figures import figures
from .learnt import Readings, is_far, summed_up
from .shown import print_json, quantity

COLUMNS = ("target", "model", "stated", "jobs", "in the middle", "lowest", "highest", "90/90")
NOTE = (
    "After repairs that were fixed and did not come back. Beside the stated window, never "
    "instead of it. 90/90: holds 90 % of such readings with 90 % confidence, from 38 jobs on."
)


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Show what was learnt; 1 where nothing was."""
    entry = bench.entry(given.entry)
    kept = figures(bench)
    learnt = kept.digest((entry.id, *entry.aliases)).readings if kept else ()
    found = summed_up(learnt, given.model or "")
    targets = {target.name: target for target in entry.targets}
    far = [
        (one.target, one.model, one.value)
        for one in learnt
        if one.target in targets
        and is_far(
            one.value,
            targets[one.target],
            [other.value for other in learnt if other.target == one.target],
        )
    ]
    if given.json:
        odd = [{"target": name, "model": model, "value": value} for name, model, value in far]
        rows = [{**one.to_json(), "stated": stated(targets.get(one.target))} for one in found]
        print_json({"entry": entry.id, "readings": rows, "far": odd})
    elif found:
        bench.show([table(entry, found, "")])
        kinds = {one.target: one.kind for one in found}
        for name, model, value in far:
            text = (
                f"{name} read {quantity(value, kinds.get(name, ''))} on {model or 'a unit'}: far "
                "from the stated window and from the other readings."
            )
            bench.show([TextBlock("", text, weight="doubt")])
    else:
        text = "Nothing was read here after a repair that held."
        bench.show([TextBlock("", text)])
    return 0 if found else 1


def table(entry: Entry, found: Sequence[Readings], heading: str) -> TableBlock:
    """Lay learnt readings out beside the stated windows."""
    targets = {target.name: target for target in entry.targets}
    rows = []
    for one in found:
        low, high = one.interval or (None, None)
        interval = (
            f"{quantity(low, one.kind)} to {quantity(high, one.kind)}" if one.interval else ""
        )
        values = (quantity(value, one.kind) for value in (one.median, one.lowest, one.highest))
        shown = stated(targets.get(one.target))
        rows.append((one.target, one.model or "all", shown, str(one.count), *values, interval))
    return TableBlock(heading, COLUMNS, tuple(rows), NOTE)


def stated(target: Target | None) -> str:
    """Give a target's windows as they are written."""
    if target is None:
        return ""
    return "; or ".join(
        f"{window.text} ({window.says})" if window.says else window.text
        for window in target.windows
    )
