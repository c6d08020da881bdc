"""A kit as blocks, as CSV and as plain values."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from fixbook.api import DOUBT, Block, Entry, TableBlock, TextBlock, sentence

from .judged import Reason
from .lines import Line, together
from .picking import LOOK, MEASURE, STANDS_IN, Pick, Picked, totals
from .stock import Item, Stock

COLUMNS = ("count", "what", "value", "for", "at", "instead")
PICKED_COLUMNS = (*COLUMNS, "status", "drawer", "item", "verdict", "why")
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How a cell begins that a spreadsheet would run."""
Blocks = tuple[Block, ...]
MOST_SAID = 5
"""So many rows that could not be used are named on a sheet."""


@dataclass(frozen=True, slots=True)
class Kit:
    """The parts, tools and supplies of write-ups, and the stock list they were held against."""

    entries: tuple[Entry, ...]
    lines: tuple[Line, ...]
    stock: Stock | None = None
    picked: tuple[Picked, ...] = ()


def kit_blocks(kit: Kit, say: str = "give what stands on the part: --marked '{}=…'") -> Blocks:
    """Give a kit as blocks: parts, reasons, totals, tools, supplies.

    `say` tells how to name what a write-up leaves to be read from the part; `{}` is its place.
    """
    tools = TextBlock("Tools", ", ".join(together(kit.entries, "tools")) or "none")
    supplies = TextBlock("Supplies", ", ".join(together(kit.entries, "supplies")) or "none")
    if not kit.lines:
        return (TextBlock("", "These write-ups replace no parts."), tools, supplies)
    if kit.stock is None:
        rows = tuple(tuple(cells(line, line.part.count)) for line in kit.lines)
        return (TableBlock("Parts", COLUMNS, rows), tools, supplies)
    rows = tuple(
        (str(some.count), line.part.is_, line.value, _where_for(line, kit), where(some))
        for line, some in _pieces(kit)
    )
    parts = TableBlock("Parts", ("count", "what", "value", "for", "from"), rows)
    return (
        parts,
        *_stand_ins(kit),
        *_refused(kit),
        _summed(kit, say),
        *_left_out(kit),
        tools,
        supplies,
    )


def to_look_at(kit: Kit) -> list[str]:
    """Give the places whose parts have to be looked at before anything can be picked for them."""
    return list(dict.fromkeys(line.place for line, some in _pieces(kit) if some.status == LOOK))


def where(some: Pick) -> str:
    """Say where pieces come from: `in the drawer: B3`, `stand-in: B4, 63 V`, `to order`."""
    if some.judged is None:
        return some.status
    item = some.judged.item
    what = item.name if some.status in (STANDS_IN, MEASURE) else ""
    told = ", ".join(one for one in (item.place, what) if one)
    return f"{some.status}: {told}" if told else some.status


def _where_for(line: Line, kit: Kit) -> str:
    return f"{line.entry.id}, {line.part.at}" if len(kit.entries) > 1 else line.part.at


def _pieces(kit: Kit) -> list[tuple[Line, Pick]]:
    return [(one.line, some) for one in kit.picked for some in one.picks]


def _stand_ins(kit: Kit) -> list[Block]:
    places: dict[tuple[Item, tuple[Reason, ...]], list[str]] = {}
    for line, some in _pieces(kit):
        if some.status in (STANDS_IN, MEASURE) and some.judged is not None:
            key = some.judged.item, some.judged.reasons
            places.setdefault(key, []).append(line.place)
    rows: list[tuple[str, ...]] = []
    for (item, reasons), at in places.items():
        told = [one for one in reasons if one.verdict != "info"]
        for number, one in enumerate(told):
            name = "" if number else f"{', '.join(dict.fromkeys(at))}: {item.name}"
            rows.append((name, one.verdict, f"{one.rule}: {one.why}"))
    note = "What is not compared is not known: look at the part, and at the room it has."
    head = ("from the drawer", "verdict", "why")
    return [TableBlock("Why these may do", head, tuple(rows), note)] if rows else []


def _refused(kit: Kit) -> list[Block]:
    rows = tuple(
        (f"{one.line.place}: {judged.item.name}", judged.verdict, judged.why)
        for one in kit.picked
        for judged in one.refused
    )
    head = ("in the drawer", "verdict", "why")
    return [TableBlock("Near, and not taken", head, rows)] if rows else []


def _summed(kit: Kit, say: str) -> Block:
    words = [f"{count} {status}" for status, count in totals(kit.picked).items() if count]
    whole = sum(line.part.count for line in kit.lines)
    text = f"{whole} piece{'s' if whole != 1 else ''}: {', '.join(words)}."
    if looks := to_look_at(kit):
        text += " " + sentence(f"{_open(kit, looks[0])}, {say.format(looks[0])}")
    return TextBlock("Totals", text)


def _open(kit: Kit, place: str) -> str:
    """Say what has still to be read off a part: all of it, or what its marking left out."""
    line = next(one for one in kit.lines if one.place == place and one.open)
    left = f"'{line.marked}' leaves the {line.open} of {place} open"
    return left if line.marked else "where a write-up says 'as marked'"


def _left_out(kit: Kit) -> list[Block]:
    left_out = kit.stock.left_out if kit.stock else ()
    if not left_out:
        return []
    more = len(left_out) - MOST_SAID
    rest = f" And {more} more." if more > 0 else ""
    said = "; ".join(left_out[:MOST_SAID])
    return [TextBlock("Stock list", f"{sentence(f'Not used: {said}')}{rest}", weight=DOUBT)]


def cells(line: Line, count: int) -> list[str]:
    """Give a line as texts, in the order of COLUMNS."""
    stand_ins = ", or ".join(line.part.instead)
    return [str(count), line.part.is_, line.value, line.entry.id, line.part.at, stand_ins]


def as_csv(kit: Kit) -> str:
    """Write the parts as CSV that a spreadsheet opens as text, never as a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS if kit.stock is None else PICKED_COLUMNS)
    if kit.stock is None:
        rows = [cells(line, line.part.count) for line in kit.lines]
    else:
        rows = [[*cells(line, some.count), *_pick_cells(some)] for line, some in _pieces(kit)]
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()


def _pick_cells(some: Pick) -> list[str]:
    one = some.judged
    if one is None:
        return [some.status, "", "", "", ""]
    return [some.status, one.item.place, one.item.name, one.verdict, one.why]


def harmless(cell: str) -> str:
    """Keep a spreadsheet from running a cell: one that begins like a formula gets a quote."""
    return f"'{cell}" if cell.lstrip(" ").startswith(FORMULA) or cell.startswith(FORMULA) else cell


def as_json(kit: Kit) -> dict[str, object]:
    """Give the kit as plain values."""
    picked = {id(one.line): one for one in kit.picked}
    return {
        "entries": [entry.id for entry in kit.entries],
        "parts": [
            {
                "count": line.part.count,
                "what": line.part.is_,
                "value": line.value,
                "for": line.entry.id,
                "at": line.part.at,
                "instead": list(line.part.instead),
                **(_picked_json(picked[id(line)]) if id(line) in picked else {}),
            }
            for line in kit.lines
        ],
        "tools": together(kit.entries, "tools"),
        "supplies": together(kit.entries, "supplies"),
        "stock": None
        if kit.stock is None
        else {
            "file": kit.stock.file,
            "items": len(kit.stock.items),
            "not_used": list(kit.stock.left_out),
            "totals": totals(kit.picked),
        },
    }


def _picked_json(one: Picked) -> dict[str, object]:
    return {
        "picks": [
            {
                "count": some.count,
                "status": some.status,
                "item": _item_json(some.judged.item) if some.judged else None,
                "verdict": some.judged.verdict if some.judged else None,
                "reasons": _reasons_json(some.judged.reasons) if some.judged else [],
            }
            for some in one.picks
        ],
        "refused": [
            {
                "item": _item_json(judged.item),
                "verdict": judged.verdict,
                "reasons": _reasons_json(judged.reasons),
            }
            for judged in one.refused
        ],
    }


def _item_json(item: Item) -> dict[str, object]:
    return {"row": item.row, "what": item.name, "place": item.place, "in_stock": item.part.count}


def _reasons_json(reasons: Sequence[Reason]) -> list[dict[str, str]]:
    return [
        {"rule": one.rule, "verdict": one.verdict, "why": one.why, "by": one.by} for one in reasons
    ]
