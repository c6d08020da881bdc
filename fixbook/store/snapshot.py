"""A file as it was when it was read, and writing it back only while it still is."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from fixbook.errors import BookError
from fixbook.store.decoding import LARGEST, decode, too_large
from fixbook.store.writing import write_bytes

_MARK = b"\xef\xbb\xbf"
"""The byte-order mark that some editors put first; it is kept."""


class ChangedError(BookError):
    """A file that is no longer what it was when it was read."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A file and what it held; `data` is None where there was none."""

    path: Path
    data: bytes | None
    text: str = ""

    def write(self, text: str) -> Snapshot:
        """Replace the file's text; ChangedError, and nothing written, where it changed meanwhile.

        Permissions, a link's target and a byte-order mark stay. OSError leaves the old text.
        """
        if read_bytes(self.path) != self.data:
            raise ChangedError(
                f"{self.path} changed while it was being worked on",
                input=str(self.path),
                hint="nothing was written; look at the file, and try again",
            )
        mark = _MARK if self.data is not None and self.data.startswith(_MARK) else b""
        data = mark + text.encode("utf-8")
        if data != self.data:
            write_bytes(self.path, data)
        return Snapshot(self.path, data, text)


def take_snapshot(path: Path) -> Snapshot:
    """Read a file for a change; BookError where it is no text that can be changed."""
    data = read_bytes(path)
    if data is None:
        return Snapshot(path, None)
    text, problems = decode(data, str(path))
    if problems:
        raise BookError(f"{problems[0]}", input=str(path), hint="nothing was changed")
    return Snapshot(path, data, text)


def read_bytes(path: Path) -> bytes | None:
    """Give a file's bytes; None where there is none. BookError where it cannot be read."""
    try:
        with open(path, "rb") as file:
            data = file.read(LARGEST + 1)
            if len(data) > LARGEST:
                raise BookError(str(too_large(str(path), os.fstat(file.fileno()).st_size)))
            return data
    except FileNotFoundError:
        return None
    except OSError as error:
        raise BookError(
            f"{path} cannot be read: {error.strerror or error}",
            input=str(path),
            hint="look at its permissions",
        ) from error
