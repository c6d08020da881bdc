"""A year's list as a spreadsheet file, the same bytes for the same rows; CSV without openpyxl."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Sequence
from datetime import datetime

WHEN = datetime(2025, 1, 2, 9, 0)
"""The moment at which the file says it was made."""


def workbook(title: str, head: Sequence[str], rows: Sequence[Sequence[object]]) -> bytes | None:
    """Give an .xlsx file with a title above the names of the columns; None without openpyxl."""
    try:
        from openpyxl import Workbook
    except ImportError:
        return None
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "jobs"
    for row in ([title], [], head, *rows):
        sheet.append(list(row))
    out = io.BytesIO()
    book.save(out)
    return _still(out.getvalue())


def as_csv(head: Sequence[str], rows: Sequence[Sequence[object]]) -> bytes:
    """Give the same list as CSV."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows([head, *(["" if one is None else one for one in row] for row in rows)])
    return out.getvalue().encode("utf-8")


def _still(data: bytes) -> bytes:
    """Take the moment of making out of a file: from its parts' dates, and from what it says."""
    out = io.BytesIO()
    stamp = WHEN.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", stamp, content)
            part = zipfile.ZipInfo(name, WHEN.timetuple()[:6])
            part.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(part, content)
    return out.getvalue()
