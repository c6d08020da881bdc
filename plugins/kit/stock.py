"""The shop's stock list: a table of what lies in which drawer, read through the job sources.

Columns are known by their usual names; `what`, `value` and `count` are the least that a row has.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from fixbook.api import Bench, Part, UnreadableRow

from .errors import KitError

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "what": ("what", "part", "item", "description", "is", "kind", "type", "name", "component"),
    "value": ("value", "marking", "rating", "spec", "specification"),
    "count": ("count", "qty", "quantity", "stock", "in stock", "pieces", "pcs", "number", "amount"),
    "place": ("place", "drawer", "bin", "shelf", "location", "box", "where", "tray"),
    "volts": ("volts", "voltage", "rated voltage", "v"),
    "temperature": ("temperature", "temp", "max temp", "degc", "rated temperature"),
    "esr": ("esr", "impedance"),
    "ripple": ("ripple", "ripple current"),
    "diameter": ("diameter", "dia", "d"),
    "height": ("height", "length", "h", "l"),
    "pitch": ("pitch", "lead spacing", "spacing"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}
UNITS = {"volts": "V", "temperature": "degC", "diameter": "mm", "height": "mm", "pitch": "mm"}
"""What a bare number in a column stands for."""
MOST_ROWS = 200_000
LONGEST = 500
"""Letters of a cell that are kept."""


@dataclass(frozen=True, slots=True)
class Item:
    """One row of a stock list."""

    row: int
    """As a spreadsheet counts it."""
    part: Part
    """What it is, in the terms of a write-up's part; `count` is how many there are."""
    place: str = ""
    sizes: tuple[tuple[str, str], ...] = ()
    """Diameter, height and pitch, those that are stated."""
    note: str = ""

    @property
    def kind(self) -> tuple[object, ...]:
        """What it is, whatever drawer it lies in: items of one kind are judged once."""
        part = self.part
        return (
            part.is_, part.value, part.volts, part.temperature, part.esr, part.ripple,
            self.sizes, self.note,
        )  # fmt: skip

    @property
    def name(self) -> str:
        """Say what it is in a line."""
        part = self.part
        return ", ".join(one for one in (part.is_, part.value, part.volts, part.temperature) if one)


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock list as it was read."""

    file: str
    items: tuple[Item, ...]
    left_out: tuple[str, ...] = ()
    """What could not be used: each row with its reason."""


def find_stock(bench: Bench, named: str | None) -> str | None:
    """Give the path of the stock list: the one that was named, or the shop's own.

    None where there is none. KitError where the shop's own lies outside its book.
    """
    if named:
        return named
    if not bench.shop.stock or not bench.folder:
        return None
    book = Path(bench.folder).resolve()
    path = (book / bench.shop.stock).resolve()
    if not path.is_relative_to(book):
        raise KitError(
            f"the stock list {bench.shop.stock} lies outside the book {book}",
            hint="keep it in the book's folder, or name it: --stock FILE",
            input="stock",
            read=bench.shop.stock,
        )
    return str(path)


def read_stock(bench: Bench, file: str) -> Stock:
    """Read a stock list; KitError where nothing in it can be used.

    A row that cannot be used is left out with its reason, and the others still count.
    """
    rows, first = _rows(bench, file)
    items: list[Item] = []
    left_out: list[str] = []
    columns: Mapping[str, str] | None = None
    for number, row in enumerate(rows, first):
        if number - first >= MOST_ROWS:
            left_out.append(f"row {number} and on: a stock list has at most {MOST_ROWS:,} rows")
            break
        if isinstance(row, UnreadableRow):
            left_out.append(f"row {number}: {row.why}")
        elif any(cell.strip() for cell in row.values()):
            columns = _columns(row, file) if columns is None else columns
            item = _item(number, {name: row.get(key, "") for name, key in columns.items()})
            if isinstance(item, str):
                left_out.append(item)
            else:
                items.append(item)
    return Stock(file, tuple(items), tuple(left_out))


def _rows(bench: Bench, file: str) -> tuple[Iterable[Mapping[str, str] | UnreadableRow], int]:
    ending = Path(file).suffix.lower()
    for source in bench.job_sources():
        if ending in source.endings:
            return source.rows(file, {}), source.first_row
    known = ", ".join(end for source in bench.job_sources() for end in source.endings)
    raise KitError(
        f"{file} cannot be read as a stock list",
        hint=f"its name ends in one of {known}" if known else "no plugin that reads tables is on",
        input="--stock",
        read=file,
    )


def _columns(row: Mapping[str, str], file: str) -> Mapping[str, str]:
    folded = {" ".join(re.sub(r"[\W_]+", " ", key.casefold()).split()): key for key in row}
    found = {
        name: next(folded[word] for word in words if word in folded)
        for name, words in COLUMNS.items()
        if any(word in folded for word in words)
    }
    missing = [name for name in ("what", "count") if name not in found]
    if missing:
        raise KitError(
            f"{file} has no column {' and no column '.join(missing)}",
            hint=f"its columns are {', '.join(row)}; name one {', another '.join(missing)}",
            input="--stock",
            read=file,
        )
    return found


def _item(number: int, row: Mapping[str, str]) -> Item | str:
    """Give an item; a text that says what is wrong where the row cannot be used."""
    cells = {name: " ".join(text.split())[:LONGEST] for name, text in row.items()}
    if not cells["what"]:
        return f"row {number}: it does not say what the part is"
    count = re.fullmatch(r"(\d{1,7})(?:[.,]0+)?(?: ?(?:pcs?|pieces|x))?", cells["count"] or "0")
    if count is None:
        return f"row {number}: the count {cells['count']!r} is no whole number"
    cells |= {
        name: f"{cells[name]} {unit}"
        for name, unit in UNITS.items()
        if re.fullmatch(r"\d+(?:[.,]\d+)?", cells.get(name, ""))
    }
    part = Part(
        at="",
        is_=cells["what"],
        value=cells.get("value", ""),
        count=int(count[1]),
        volts=cells.get("volts", ""),
        temperature=cells.get("temperature", ""),
        esr=cells.get("esr", ""),
        ripple=cells.get("ripple", ""),
    )
    sizes = tuple((one, cells[one]) for one in ("diameter", "height", "pitch") if cells.get(one))
    return Item(number, part, cells.get("place", ""), sizes, cells.get("note", ""))
