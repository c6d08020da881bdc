"""The private folder of an index, and the lock that lets one process write at a time.

Whoosh keeps pickles, so a folder that others can write to is refused: what it holds could run as
this user. The lock is the operating system's; it goes with its process, however that ends.
"""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from fixbook.errors import IndexFolderError, what_to_do

LOCK = "writer.lock"
_STEP_S = 0.05
_HINT = "remove it, or name another cache folder; the index is built again by itself"


def open_private(folder: Path, *, create: bool) -> bool:
    """Make sure that a folder is ours alone; say whether it is there.

    Raises IndexFolderError where it is not ours, open to others, or cannot be made.
    """
    try:
        if create:
            _make(folder)
        info = os.lstat(folder)
    except FileNotFoundError:
        return False
    except OSError as problem:
        raise IndexFolderError(
            f"the index folder {folder} cannot be used: {problem.strerror}",
            hint=what_to_do(problem, _HINT),
        ) from problem
    if not stat.S_ISDIR(info.st_mode):
        raise IndexFolderError(f"the index folder {folder} is not a folder", hint=_HINT)
    if hasattr(os, "geteuid"):
        if info.st_uid != os.geteuid():
            raise IndexFolderError(f"the index folder {folder} belongs to another user", hint=_HINT)
        if info.st_mode & 0o022:
            raise IndexFolderError(
                f"the index folder {folder} can be written by other users", hint=_HINT
            )
    return True


def _make(folder: Path) -> None:
    for parent in reversed([folder, *folder.parents]):
        if not parent.exists():
            parent.mkdir(mode=0o700, exist_ok=True)


def _clear_way(lock: Path) -> None:
    """Take away what stands in the place of the lock and cannot be one."""
    with suppress(FileNotFoundError):
        kind = os.lstat(lock).st_mode
        if stat.S_ISDIR(kind):
            os.rmdir(lock)
        elif not stat.S_ISREG(kind):
            os.unlink(lock)


@contextmanager
def writer_lock(
    folder: Path, wait_s: float, *, waiting: Callable[[float], None] | None = None
) -> Iterator[bool]:
    """Hold the writer's lock; give False where another process held it for the whole wait.

    `waiting` is called with the seconds waited so far.
    """
    from whoosh.util.filelock import FileLock

    lock = FileLock(str(folder / LOCK))
    began = time.monotonic()
    try:
        _clear_way(folder / LOCK)
        # The lock would make the file itself, but readable by everyone.
        os.close(os.open(folder / LOCK, os.O_CREAT | os.O_WRONLY, 0o600))
        while not (held := lock.acquire()):
            spent = time.monotonic() - began
            if spent >= wait_s:
                break
            if waiting:
                waiting(spent)
            time.sleep(_STEP_S)
    except OSError as problem:
        raise IndexFolderError(
            f"the index folder {folder} cannot be locked: {problem.strerror}",
            hint=what_to_do(problem, _HINT),
        ) from problem
    try:
        yield held
    finally:
        if held:
            lock.release()
