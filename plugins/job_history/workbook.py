"""The sheets of an .xlsx file through openpyxl, without what reading values does not need.

The library makes a tree of objects for each text and reads a sheet without a stated size twice;
on a history of 100,000 rows that is most of the time. Plain texts are taken as they stand here,
and everything else, dates and texts with their own formatting among it, is left to the library.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import IO, Any
from xml.etree.ElementTree import Element, iterparse

from openpyxl.cell.text import Text
from openpyxl.reader.excel import ExcelReader
from openpyxl.styles.stylesheet import apply_stylesheet
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet._reader import WorkSheetParser
from openpyxl.xml.constants import SHARED_STRINGS, SHEET_MAIN_NS

_ITEM, _TEXT, _VALUE, _INLINE = (f"{{{SHEET_MAIN_NS}}}{name}" for name in ("si", "t", "v", "is"))


class Workbook:
    """An opened .xlsx file. What openpyxl raises on a damaged one passes through."""

    def __init__(self, path: str) -> None:
        reader = ExcelReader(path, read_only=True, data_only=True)
        self._archive = reader.archive
        try:
            reader.read_manifest()
            package: Any = reader.package
            part = package.find(SHARED_STRINGS)
            self._strings: list[str] = []
            if part is not None:
                with self._archive.open(part.PartName[1:]) as source:
                    self._strings = _strings(source)
            reader.read_workbook()
            apply_stylesheet(self._archive, reader.wb)
            self._book: Any = reader.wb
            self._parts: dict[str, str] = {
                sheet.name: rel.target
                for sheet, rel in reader.parser.find_sheets()
                if rel.target in reader.valid_files and "chartsheet" not in rel.Type
            }
        except BaseException:
            self._archive.close()
            raise

    @property
    def sheets(self) -> list[str]:
        """The names of its sheets, in their order."""
        return list(self._parts)

    def rows(self, sheet: str) -> Iterator[list[object]]:
        """Give the values of each row, from the first column on; a row left out is empty."""
        with self._archive.open(self._parts[sheet]) as source:
            parser = _Parser(
                source,
                self._strings,
                data_only=True,
                epoch=self._book.epoch,
                date_formats=self._book._date_formats,
                timedelta_formats=self._book._timedelta_formats,
            )
            last = 0
            for number, cells in parser.parse():
                yield from ([] for _ in range(last + 1, number))
                if number > last:
                    yield _in_columns(cells)
                last = max(last, number)

    def close(self) -> None:
        """Let the file go."""
        self._archive.close()


class _Parser(WorkSheetParser):
    def parse_cell(self, element: Element) -> dict[str, Any]:
        """Read a cell; a plain text without asking what else it could be."""
        kind = element.get("t")
        if kind == "s":
            place = element.findtext(_VALUE)
            if not place:
                return super().parse_cell(element)
            value = self.shared_strings[int(place)]
        elif kind == "inlineStr" and (inside := element.find(_INLINE)) is not None:
            value = _text_of(inside)
        else:
            return super().parse_cell(element)
        if name := element.get("r"):
            self.col_counter = coordinate_to_tuple(name)[1]
        else:
            self.col_counter += 1
        return {"column": self.col_counter, "value": value}


def _in_columns(cells: list[dict[str, Any]]) -> list[object]:
    row: list[object] = []
    for cell in cells:
        place = cell["column"] - 1
        if place == len(row):
            row.append(cell["value"])
            continue
        row += [None] * (place + 1 - len(row))
        row[place] = cell["value"]
    return row


def _strings(source: IO[bytes]) -> list[str]:
    found = []
    for _, item in iterparse(source):
        if item.tag == _ITEM:
            found.append(_text_of(item).replace("x005F_", ""))
            item.clear()
    return found


def _text_of(item: Element) -> str:
    """Give a text; what has parts with a formatting of their own is put together by openpyxl."""
    if len(item) == 1 and item[0].tag == _TEXT:
        return item[0].text or ""
    made: Any = Text
    text: str = made.from_tree(item).content
    return text
