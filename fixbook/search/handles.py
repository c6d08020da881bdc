"""How many files this process may hold open: the index of a large book has hundreds."""

from __future__ import annotations

import errno
import os

from fixbook.errors import IndexFolderError

WANTED = 10_240
"""What macOS allows a process at most, where a terminal begins with 256."""


def open_to_read(path: str | os.PathLike[str]) -> int:
    """Open a file of the index, where need be after raising the limit on open files.

    OSError where it cannot be opened; IndexFolderError where too many files are open, since that is
    no damage, and an index made anew would have as many.
    """
    # O_BINARY exists on Windows alone, where text mode would change bytes.
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0)
    try:
        return os.open(path, flags)
    except OSError as problem:
        if problem.errno not in (errno.EMFILE, errno.ENFILE):
            raise
        if problem.errno == errno.EMFILE and _allow_more():
            return os.open(path, flags)
        raise IndexFolderError(
            f"{path} cannot be read: {problem.strerror}",
            hint="allow a process more open files (ulimit -n), or close other programs",
        ) from problem


def _allow_more() -> bool:
    try:
        import resource
    except ImportError:  # Windows has no such limit
        return False
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = WANTED if hard == resource.RLIM_INFINITY else min(WANTED, hard)
    if soft == resource.RLIM_INFINITY or soft >= wanted:
        return False
    try:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
    except (OSError, ValueError):
        return False
    return True
