"""Cells and column names as texts: what every source of history gives."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time

from fixbook.api import UnreadableRow

LONGEST_SHOWN = 500
"""Letters of an unreadable row that are kept to show it."""
FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""How a cell begins that a spreadsheet would run."""
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u200b\u2060\ufeff]")
_BLANKS = re.compile(r"[ \t\u00a0\u202f]+")


def text_of(value: object) -> str:
    """Give a cell's value as text: dates as ISO, whole numbers without a fraction."""
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return str(value.date()) if value.time() == time() else value.isoformat(" ", "minutes")
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if isinstance(value, (bytes, bytearray, memoryview)):
        return bytes(value).decode("utf-8", "replace")
    return str(value)


def tidy(text: str) -> str:
    """Take out what cannot be seen; runs of blanks become one, and the ends are bare.

    The apostrophe that keeps a spreadsheet from running a cell goes as well.
    """
    if text.isprintable() and "  " not in text:  # most cells; no line ends, no odd blanks
        made = text.strip()
        return made[1:] if made[:1] == "'" and made[1:2] in FORMULA else made
    lines = _CONTROL.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n")).split("\n")
    made = "\n".join(_BLANKS.sub(" ", line).strip() for line in lines).strip()
    return made[1:] if made[:1] == "'" and made[1:2] in FORMULA else made


def harmless(text: str) -> str:
    """Keep a spreadsheet from running a cell: one that begins like a formula gets an apostrophe."""
    return f"'{text}" if text.startswith(FORMULA) else text


def folded(text: str) -> str:
    """Bring a column's name or a word of the shop to the form in which they are compared."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    return " ".join(re.sub(r"[^\w]+|_", " ", spaced.casefold()).split())


def column_names(cells: Sequence[str]) -> list[str]:
    """Give each column a name of its own: empty ones get their place, repeated ones a number."""
    names: list[str] = []
    for place, cell in enumerate(cells, 1):
        wanted = " ".join(tidy(cell).split())[:100] or f"column {place}"
        name, number = wanted, 2
        while name in names:
            name, number = f"{wanted} ({number})", number + 1
        names.append(name)
    return names


def row_of(names: Sequence[str], cells: Sequence[str]) -> Mapping[str, str] | UnreadableRow:
    """Give a row's cells by column; a row with more cells than columns cannot be read."""
    if len(cells) > len(names):
        more = [cell for cell in cells[len(names) :] if cell.strip()]
        if more:
            return unreadable(
                cells,
                f"it has {len(cells)} cells, and there are {len(names)} columns; "
                "a cell that holds the delimiter needs quotes around it",
            )
    found = dict(zip(names, cells, strict=False))
    return found if any(cell.strip() for cell in found.values()) else {}


def unreadable(cells: Sequence[str] | str, why: str) -> UnreadableRow:
    """Give a row that cannot be read, cut to what is worth showing."""
    text = cells if isinstance(cells, str) else " | ".join(cells)
    return UnreadableRow(tidy(text[: 4 * LONGEST_SHOWN])[:LONGEST_SHOWN], why)
