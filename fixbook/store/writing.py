"""Writing a file so that a kill or a power cut leaves either the old text or the new."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

PARTIAL = ".fixbook-partial-"
"""How the name of a file that is still being written begins."""


def write_text(path: Path, text: str, *, private: bool = False) -> None:
    """Replace a file's content in one step; OSError leaves the old content.

    A new file is private (0600) where asked for; an old one keeps its permissions.
    """
    write_bytes(path, text.encode("utf-8"), private=private)


def write_bytes(path: Path, data: bytes, *, private: bool = False) -> None:
    """Replace a file's content in one step, flushed to the disk before the name changes."""
    import tempfile  # 3 ms that reading never pays

    target = Path(os.path.realpath(path))  # a link stays a link: what it points to is replaced
    mode = _mode(target, private)
    handle, name = tempfile.mkstemp(prefix=PARTIAL, dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _flush_folder(target.parent)


def clear_partial(folder: Path, *, older_than_s: float, now: float) -> int:
    """Remove what killed writes left behind, once it is old enough to be nobody's; the count."""
    removed = 0
    for path in folder.glob(f"{PARTIAL}*"):
        with contextlib.suppress(OSError):
            if now - path.stat().st_mtime > older_than_s:
                path.unlink()
                removed += 1
    return removed


def _mode(target: Path, private: bool) -> int:
    try:
        return target.stat().st_mode & 0o777
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o600 if private else 0o666 & ~mask


def _flush_folder(folder: Path) -> None:
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
