"""A book from its backup, into a new folder: all of it, checked, or nothing."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from fixbook.errors import BookError, what_to_do
from fixbook.settings import FILE
from fixbook.store.archive import Archive, room_for
from fixbook.store.folder import ENTRIES, PICTURES, VOCABULARY
from fixbook.store.writing import PARTIAL, flush_folder

FEW = 20
"""Files that are flushed to the disk one by one."""
STALE_S = 24 * 3600.0
"""Half-restored folders older than this are nobody's."""

Progress = Callable[[str, int, int], None]


class Restored(NamedTuple):
    """A book that was taken out of a backup."""

    files: int
    size: int
    plugins: tuple[str, ...]
    """Plugin files of the book: off until they are trusted here."""


def restore(source: Path, folder: Path, *, progress: Progress | None = None) -> Restored:
    """Make a book in a new or empty folder from a backup; BookError where it cannot be.

    The folder gets its name when all files are in it, checked and on the disk.
    """
    _check_folder(folder)
    try:
        with open(source, "rb") as file:
            archive = Archive(file, str(source))
            if not any(name == FILE or name.startswith(f"{ENTRIES}/") for name in archive.files):
                raise BookError(f"there is no book in {source}", input="FILE", read=str(source))
            folder.parent.mkdir(parents=True, exist_ok=True)
            _clear_stale(folder.parent)
            room_for(archive, folder.parent)
            _unpack(archive, folder, progress)
    except OSError as error:
        where = error.filename or folder
        raise BookError(
            f"{source} cannot be restored: {where}: {error.strerror or error}",
            input="FILE" if str(where) == str(source) else "DIR",
            read=str(where),
            hint="nothing was left of it; "
            + what_to_do(error, "name a backup, and a folder that you may write to"),
        ) from error
    plugins = tuple(name for name in archive.files if name.startswith("plugins/"))
    return Restored(len(archive.files), archive.total, plugins)


def _check_folder(folder: Path) -> None:
    try:
        if not folder.is_symlink() and not os.listdir(folder):
            return
        why = f"{folder} is there already, and is not empty"
    except FileNotFoundError:
        return
    except NotADirectoryError:
        why = f"{folder} is a file" if folder.exists() else f"{folder} lies under a file"
    except OSError as error:
        why = f"{folder} cannot be read: {error.strerror or error}"
    raise BookError(
        f"{why}; a book is restored into a new folder",
        input="DIR",
        read=str(folder),
        hint="name a folder that does not exist yet",
    )


def _unpack(archive: Archive, folder: Path, progress: Progress | None) -> None:
    at_once = hasattr(os, "sync") and len(archive.files) > FEW
    making = Path(tempfile.mkdtemp(prefix=PARTIAL, dir=folder.parent))
    try:
        for number, name in enumerate(archive.files):
            if progress and number % 50 == 0:
                progress("restoring", number, len(archive.files))
            path = making / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with open(path, "xb") as file:
                file.writelines(archive.pieces(name))
                file.flush()
                if not at_once:
                    os.fsync(file.fileno())
        for part in (VOCABULARY, PICTURES):  # empty folders are in no archive
            (making / ENTRIES / part).mkdir(parents=True, exist_ok=True)
        if at_once:
            os.sync()  # a flush of each would take minutes
        else:
            for place, _, _ in os.walk(making):
                flush_folder(Path(place))
        mask = os.umask(0)
        os.umask(mask)
        making.chmod(0o777 & ~mask)
        if os.name != "posix" and folder.exists():
            folder.rmdir()  # elsewhere an empty folder is not replaced
        os.replace(making, folder)
    except BaseException:
        shutil.rmtree(making, ignore_errors=True)
        raise
    flush_folder(folder.parent)


def _clear_stale(parent: Path) -> None:
    """Remove what killed restores left behind, once it is old enough to be nobody's."""
    for path in parent.glob(f"{PARTIAL}*"):
        with contextlib.suppress(OSError):
            folder = path.is_dir() and not path.is_symlink()
            if folder and time.time() - path.stat().st_mtime > STALE_S:
                shutil.rmtree(path, ignore_errors=True)
