"""Writing a file so that a kill or a power cut leaves either the old text or the new."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

PARTIAL = ".fixbook-partial-"
"""How the name of a file that is still being written begins."""
STALE_S = 3600.0
"""Half-written files older than this are nobody's."""


def write_text(path: Path, text: str, *, private: bool = False) -> None:
    """Replace a file's content in one step; OSError leaves the old content.

    A new file is private (0600) where asked for; an old one keeps its permissions.
    """
    write_bytes(path, text.encode("utf-8"), private=private)


def write_bytes(path: Path, data: bytes, *, private: bool = False) -> None:
    """Replace a file's content in one step, flushed to the disk before the name changes."""
    with replacing(path, private=private) as file:
        file.write(data)


@contextlib.contextmanager
def replacing(path: Path, *, private: bool = False) -> Iterator[BinaryIO]:
    """Give a new file to write into, which takes the place of `path` when all is written.

    It may be read again before that. Where anything fails, the old content stays. What a killed
    write left beside it long ago is swept up.
    """
    import tempfile  # 3 ms that reading never pays
    import time

    target = Path(os.path.realpath(path))  # a link stays a link: what it points to is replaced
    mode = _mode(target, private)
    handle, name = tempfile.mkstemp(prefix=PARTIAL, dir=target.parent)
    try:
        with os.fdopen(handle, "w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    flush_folder(target.parent)
    clear_partial(target.parent, older_than_s=STALE_S, now=time.time())


def clear_partial(folder: Path, *, older_than_s: float, now: float) -> int:
    """Remove what killed writes left behind, once it is old enough to be nobody's; the count."""
    removed = 0
    with contextlib.suppress(OSError), os.scandir(folder) as found:
        for one in found:
            if one.name.startswith(PARTIAL):
                with contextlib.suppress(OSError):
                    if now - one.stat(follow_symlinks=False).st_mtime > older_than_s:
                        os.unlink(one.path)
                        removed += 1
    return removed


def _mode(target: Path, private: bool) -> int:
    try:
        return target.stat().st_mode & 0o777
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o600 if private else 0o666 & ~mask


def flush_folder(folder: Path) -> None:
    """Let the names in a folder reach the disk, where the system can be told so."""
    if os.name != "posix":
        return  # elsewhere a folder cannot be opened, and the rename is durable by itself
    # Some network file systems refuse it, and a folder may be writable and not readable; the
    # rename itself has been done.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
