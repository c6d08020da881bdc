"""Read a file of the index in checked pages.

Each page's checksum was kept when the file was written, and a page is compared before anything in
it is used: a damaged index is noticed, and nothing that was tampered with is ever unpickled.
Plain reads, not a memory map: a file cut short by someone else must be an error, not a crash.
"""

from __future__ import annotations

import os
import threading
from array import array
from pathlib import Path
from zlib import crc32

from fixbook.errors import IndexFolderError
from fixbook.search.handles import open_to_read

PAGE = 32 * 1024


class IndexDamagedError(IndexFolderError):
    """Something in the index is not as it was written; it has to be built again."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"the search index is damaged ({what})",
            hint="it holds nothing of its own and is built again from the book",
        )


def page_sums(path: Path) -> array[int]:
    """Give the checksum of each page of a file."""
    sums = array("I")
    with path.open("rb") as file:
        while page := file.read(PAGE):
            sums.append(crc32(page))
    return sums


class CheckedFile:
    """A file whose size and page checksums are known."""

    def __init__(self, path: Path, size: int, sums: array[int]) -> None:
        """OSError where there is no such file, IndexDamagedError where it has another size."""
        self.name = path.name
        self.size = size
        self._sums = sums
        self._good = bytearray(len(sums))
        self._lock = threading.Lock()
        self._fd = open_to_read(path)
        if os.fstat(self._fd).st_size != size or len(sums) != -(-size // PAGE):
            self.close()
            raise IndexDamagedError(f"{self.name} has another size")

    def close(self) -> None:
        """Let the file go; closing twice does nothing."""
        fd, self._fd = self._fd, -1
        if fd >= 0:
            os.close(fd)

    def __del__(self) -> None:
        if hasattr(self, "_fd"):
            self.close()

    def get(self, start: int, length: int) -> bytes:
        """Give bytes of the file; raise IndexDamagedError where they are not as written."""
        end = start + length
        if start < 0 or length < 0 or end > self.size:
            raise IndexDamagedError(f"a place outside {self.name}")
        first, last = start // PAGE, -(-end // PAGE)
        if all(self._good[first:last]):
            return self._read(start, length)
        data = self._read(first * PAGE, min(last * PAGE, self.size) - first * PAGE)
        for page in range(first, last):
            at = (page - first) * PAGE
            if crc32(data[at : at + PAGE]) != self._sums[page]:
                raise IndexDamagedError(f"{self.name}, page {page}")
            self._good[page] = 1
        return data[start - first * PAGE :][:length]

    def check_all(self) -> None:
        """Check every page."""
        for page in range(len(self._sums)):
            self.get(page * PAGE, min(PAGE, self.size - page * PAGE))

    def _read(self, start: int, length: int) -> bytes:
        if hasattr(os, "pread"):
            data = os.pread(self._fd, length, start)
        else:
            with self._lock:
                os.lseek(self._fd, start, os.SEEK_SET)
                data = os.read(self._fd, length)
        if len(data) != length:
            raise IndexDamagedError(f"{self.name} was cut short")
        return data
