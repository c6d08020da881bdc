"""The rows that could not be brought in, kept beside the history with the reason for each."""

from __future__ import annotations

import contextlib
import csv
import os
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import IO, Self

from fixbook.api import UnreadableRow

from .cells import harmless
from .errors import JobError

ENDING = ".rejected.csv"
OWN = "rejected: "
"""How the names of the columns begin that are added in front of a history's own."""
WHY, ROW, TEXT = f"{OWN}why", f"{OWN}row", f"{OWN}what stands there"
CLASH = "already, and says something else"
"""Stands in the reason of a row whose number another one has. From the file of rejected rows it
comes in under a number of its own, and never over the job that has the number."""


class Rejected:
    """A file of rejected rows. Its name appears only when it is whole; without rows, not at all.

    Columns that go nowhere, customers' names and numbers among them, are not copied; a row that
    could not be taken apart is, as it stands.
    """

    def __init__(self, folders: Sequence[Path], name: str, columns: Sequence[str]) -> None:
        self._folders = folders
        self._name = f"{name}{ENDING}"
        self._columns = list(columns)
        self._file: IO[str] | None = None
        self._partial = self._target = Path()
        self.count = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._file is not None:
            with contextlib.suppress(OSError):  # what is still to be written may have no room
                self._file.close()
            with contextlib.suppress(OSError):
                self._partial.unlink()

    def add(self, number: int, row: Mapping[str, str] | UnreadableRow, why: str) -> None:
        """Keep a row; JobError where no file can be written."""
        self.count += 1
        if isinstance(row, UnreadableRow):
            cells = [why, str(number), *("" for _ in self._columns), row.text]
        else:
            cells = [why, str(number), *(row.get(one) or "" for one in self._columns), ""]
        try:
            if self._file is None:
                self._file = self._open()
                csv.writer(self._file).writerow([WHY, ROW, *self._columns, TEXT])
            csv.writer(self._file).writerow([harmless(cell) for cell in cells])
        except OSError as error:
            raise self._unwritable(error) from error

    def finish(self) -> str:
        """Give the file its name, and say which; empty where every row could be read.

        What an earlier import of the same history rejected goes away.
        """
        try:
            if self._file is None:
                for folder in self._folders:
                    _remove_ours(folder / self._name)
                return ""
            self._file.flush()
            os.fsync(self._file.fileno())
            self._file.close()
            os.replace(self._partial, self._target)
        except OSError as error:
            raise self._unwritable(error) from error
        self._file = None
        return str(self._target)

    def _open(self) -> IO[str]:
        last = OSError("there is no folder for it")
        for folder in self._folders:
            try:
                handle, name = tempfile.mkstemp(prefix=".fixbook-partial-", dir=folder)
            except OSError as error:
                last = error
                continue
            self._partial, self._target = Path(name), folder / self._name
            return os.fdopen(handle, "w", encoding="utf-8-sig", newline="")
        raise last

    def _unwritable(self, error: OSError) -> JobError:
        place = self._folders[0] / self._name
        return JobError(
            f"the rows that cannot be read cannot be kept in {place}: {error.strerror or error}",
            hint="the jobs that were read so far are in; make room, and run it again",
            input="FILE",
            read=str(place),
        )


def _remove_ours(path: Path) -> None:
    with contextlib.suppress(OSError), path.open(encoding="utf-8-sig") as file:
        if file.read(len(WHY)) == WHY:
            path.unlink()
