"""Delimited text as spreadsheets and databases write it: any delimiter, any usual encoding.

What no program writes, a quote that is never closed or a cell too many, costs its own row and not
the rows after it.
"""

from __future__ import annotations

import codecs
import csv
from collections import Counter, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from itertools import islice
from typing import TextIO

from fixbook.api import UnreadableRow

from .cells import column_names, row_of, unreadable
from .errors import JobError

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|", "colon": ":"}
NAMES = {mark: name for name, mark in DELIMITERS.items()}
MOST_LINES = 500
"""Lines in one row: beyond that a quote was opened and never closed."""
SAMPLE = 100
_BLOCK = 1 << 20


def rows(path: str, options: Mapping[str, str]) -> Iterator[Mapping[str, str] | UnreadableRow]:
    """Give the rows of a file, whose first full row names the columns; JobError otherwise.

    Options: `encoding` (guessed: UTF-8, UTF-16, else Windows 1252), `delimiter` (guessed).
    """
    with opened(path, options.get("encoding") or "") as file:
        lines = Lines(file)
        delimiter = delimiter_of(path, lines, options.get("delimiter") or "")
        records = _records(lines, delimiter)
        before, names = _header(path, records, lines.width)
        yield from ({} for _ in range(before))
        for record in records:
            yield record if isinstance(record, UnreadableRow) else row_of(names, record)


@contextmanager
def opened(path: str, encoding: str = "") -> Iterator[TextIO]:
    """Open a file of text, with its encoding guessed where it is not said."""
    try:
        found = encoding or encoding_of(path)
        codecs.lookup(found)
        with open(path, encoding=found, errors="replace", newline="") as file:
            yield file
    except LookupError as error:
        raise JobError(
            f"there is no encoding {encoding!r}",
            hint="such as utf-8, cp1252, latin-1, cp850, mac-roman, utf-16",
            input="encoding",
            read=encoding,
        ) from error
    except OSError as error:
        raise JobError(
            f"{path} cannot be read: {error.strerror}", input="FILE", read=path
        ) from error


def encoding_of(path: str) -> str:
    """Guess the encoding of a file of text from its bytes."""
    with open(path, "rb") as file:
        start = file.read(4096)
        for mark, name in (
            (codecs.BOM_UTF8, "utf-8-sig"),
            (codecs.BOM_UTF32_LE, "utf-32"),
            (codecs.BOM_UTF16_LE, "utf-16"),
            (codecs.BOM_UTF16_BE, "utf-16"),
        ):
            if start.startswith(mark):
                return name
        if start.count(b"\0") > len(start) // 4:  # text of the Latin alphabet without a mark
            return "utf-16-le" if start[1::2].count(0) > start[::2].count(0) else "utf-16-be"
        decoder = codecs.getincrementaldecoder("utf-8")()
        try:
            block = start
            while block:
                decoder.decode(block)
                block = file.read(_BLOCK)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return "cp1252"
    return "utf-8"


class Lines:
    """The lines of a file, which can be put back, and counted for one row at a time."""

    def __init__(self, file: Iterable[str]) -> None:
        self._file = iter(file)
        self._back: deque[str] = deque()
        self.taken: list[str] = []
        """The lines of the row that is being read."""
        self.width = 1
        """How many cells most rows have."""

    def __iter__(self) -> Lines:
        return self

    def __next__(self) -> str:
        if len(self.taken) >= MOST_LINES:
            raise csv.Error("unclosed")
        line = self._back.popleft() if self._back else next(self._file)
        self.taken.append(line)
        return line

    def put_back(self, lines: Sequence[str]) -> None:
        """Let these lines come again."""
        self._back.extendleft(reversed(lines))

    def peek(self, count: int) -> list[str]:
        """Give the next lines without taking them."""
        lines = [*self._back, *islice(self._file, max(0, count - len(self._back)))]
        self._back = deque(lines)
        return lines[:count]


def delimiter_of(path: str, lines: Lines, wanted: str) -> str:
    """Give the delimiter: as wanted, as the file says, or the one that makes even rows."""
    sample = lines.peek(SAMPLE)
    if not any(line.strip() for line in sample):
        raise JobError(f"{path} is empty", input="FILE", read=path)
    said = sample[0].strip().strip('"')
    says = said[4:] if said.lower().startswith("sep=") and len(said) == 5 else ""
    if says:
        next(lines)
        lines.put_back(["\n"])  # still a row, for the counting
    wanted = DELIMITERS.get(wanted, wanted.replace("\\t", "\t"))
    if len(wanted) > 1 or wanted in ('"', "\n", "\r"):
        raise JobError(
            f"the delimiter is one character, not {wanted!r}",
            hint=f"or one of {', '.join(DELIMITERS)}",
            input="delimiter",
            read=wanted,
        )
    found = wanted or says
    if found:
        lines.width = _evenness(lines.peek(SAMPLE), found)[1]
        return found
    scores = {mark: _evenness(lines.peek(SAMPLE), mark) for mark in NAMES}
    best = max(scores, key=lambda mark: scores[mark])
    lines.width = scores[best][1]
    return best


def _evenness(sample: Sequence[str], delimiter: str) -> tuple[float, int]:
    """Say how even rows get with a delimiter, and how many cells most of them have."""
    counts: Counter[int] = Counter()
    try:
        for cells in csv.reader(sample, delimiter=delimiter):
            if cells:
                counts[len(cells)] += 1
    except csv.Error:
        pass  # judged by the rows before
    several = {width: count for width, count in counts.items() if width > 1}
    if not several:
        return 0.0, 1
    width = max(several, key=lambda one: (several[one], one))
    return several[width] / counts.total(), width


def _header(
    path: str, records: Iterator[list[str] | UnreadableRow], width: int
) -> tuple[int, list[str]]:
    """Give how many rows stand above the names of the columns, and the names."""
    for before, record in enumerate(islice(records, SAMPLE)):
        if isinstance(record, UnreadableRow):
            raise JobError(
                f"the names of the columns in {path} cannot be read: {record.why}",
                input="FILE",
                read=record.text,
            )
        filled = sum(1 for cell in record if cell.strip())
        if filled > (1 if width > 1 else 0) and 2 * filled >= width:
            while len(record) > width and not record[-1].strip():
                record.pop()
            return before, column_names(record)
    raise JobError(f"no row of {path} names the columns", input="FILE", read=path)


def _records(lines: Lines, delimiter: str) -> Iterator[list[str] | UnreadableRow]:
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    while True:
        lines.taken = []
        try:
            yield next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            first, *others = lines.taken
            lines.put_back(others)
            yield unreadable(first, _reason(str(error), len(lines.taken)))


def _reason(error: str, lines: int) -> str:
    if lines > 1 or "unexpected end" in error:
        return "a quote is opened and never closed; a quote inside a cell is written twice"
    if "expected after" in error:
        return "something stands after a closing quote; a quote inside a cell is written twice"
    return f"it cannot be taken apart into cells: {error}"
