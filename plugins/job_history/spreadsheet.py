"""Spreadsheets: the values of one sheet, read row by row."""

from __future__ import annotations

import zipfile
import zlib
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import TYPE_CHECKING

from fixbook.api import UnreadableRow, close_matches, did_you_mean

from .cells import column_names, row_of, text_of
from .errors import JobError

if TYPE_CHECKING:
    from .workbook import Workbook

LARGEST = 2 << 30
"""Bytes that a spreadsheet may take when unpacked."""
_SAMPLE = 50
DAMAGED = (
    zipfile.BadZipFile, zlib.error, EOFError, LookupError, ValueError, TypeError, AttributeError,
    SyntaxError, RuntimeError,
)  # fmt: skip
"""What comes of a file that is no spreadsheet, or a damaged one; a wrong tag is a SyntaxError."""


def rows(path: str, options: Mapping[str, str]) -> Iterator[Mapping[str, str] | UnreadableRow]:
    """Give the rows of the first sheet that has any, or of the one that is named.

    The first full row names the columns. JobError where the file is no spreadsheet.
    """
    book = _open(path)
    try:
        yield from _rows(path, book, options.get("sheet") or "")
    except DAMAGED as error:
        raise JobError(
            f"{path} is damaged: {error}",
            hint="open it in a spreadsheet program and save it again, or save it as CSV",
            input="FILE",
            read=path,
        ) from error
    finally:
        book.close()


def _rows(path: str, book: Workbook, sheet: str) -> Iterator[Mapping[str, str] | UnreadableRow]:
    cells = _cells(path, book, sheet)
    start = list(islice(cells, _SAMPLE))
    width = max((sum(1 for cell in row if cell.strip()) for row in start), default=0)
    full = (at for at, row in enumerate(start) if 2 * sum(map(bool, map(str.strip, row))) >= width)
    header = next(full, None)
    if header is None or not width:
        raise JobError(f"{path} has no row that names the columns", input="FILE", read=path)
    yield from ({} for _ in range(header))
    named = start[header]
    used = max(place for row in start for place, cell in enumerate(row, 1) if cell.strip())
    del named[used:]  # sheets often go on in empty columns
    names = column_names(named)
    for row in start[header + 1 :]:
        yield row_of(names, row)
    for row in cells:
        yield row_of(names, row)


def _open(path: str) -> Workbook:
    try:
        import openpyxl  # noqa: F401  # whether it is there is asked before the file is opened
    except ImportError as error:
        raise JobError(
            "spreadsheets need the library openpyxl, which is not installed",
            hint="pip install 'fixbook[spreadsheet]', or save the sheet as CSV",
            input="FILE",
            read=path,
        ) from error
    try:
        with zipfile.ZipFile(path) as packed:
            size = sum(one.file_size for one in packed.infolist())
        if size > LARGEST:
            raise JobError(
                f"{path} takes {size >> 20} MiB unpacked, more than {LARGEST >> 20}",
                hint="save the sheet as CSV",
                input="FILE",
                read=path,
            )
        from .workbook import Workbook

        return Workbook(path)
    except OSError as error:
        why = f"{path} cannot be read: {error.strerror or error}"
        raise JobError(why, input="FILE", read=path) from error
    except DAMAGED as error:
        raise JobError(
            f"{path} is not a spreadsheet of the kind .xlsx",
            hint="save it as .xlsx or as CSV in a spreadsheet program",
            input="FILE",
            read=path,
        ) from error


def _cells(path: str, book: Workbook, wanted: str) -> Iterator[list[str]]:
    sheets = book.sheets
    if wanted and wanted not in sheets:
        near = did_you_mean(wanted, sheets, otherwise=f"it has {', '.join(sheets)}")
        raise JobError(
            f"{path} has no sheet {wanted!r}; {near}",
            input="sheet",
            read=wanted,
            choices=close_matches(wanted, sheets),
        )
    for sheet in [wanted] if wanted else sheets:
        found = False
        for row in book.rows(sheet):
            cells = [text_of(value) for value in row]
            found = found or any(cells)
            yield cells
        if found:
            return
