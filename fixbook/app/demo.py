"""Making the demonstration book in a folder."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable
from pathlib import Path

from fixbook.app.books import IGNORED, making
from fixbook.demo.making import SEED, demo_files
from fixbook.errors import BookError
from fixbook.store.writing import write_bytes


def demo_book(folder: Path, seed: int = SEED) -> list[str]:
    """Make the demonstration book; the paths of its files.

    BookError where the folder has something in it already: nothing of anybody's is touched.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BookError(
            f"{folder} is not an empty folder",
            input="DIR",
            read=str(folder),
            hint="name a folder that is not there yet",
        )
    made = {".gitignore": IGNORED.encode(), **demo_files(seed)}
    there = folder.exists()
    try:
        with making(folder):
            for path, data in made.items():
                (folder / path).parent.mkdir(parents=True, exist_ok=True)
                write_bytes(folder / path, data)
    except BaseException:  # half a book would keep the same command from being given again
        _take_away(folder, made, there=there)
        raise
    return sorted(made)


def _take_away(folder: Path, made: Iterable[str], *, there: bool) -> None:
    """Remove files that were made in a folder, and the folders that are empty then."""
    for path in made:
        with contextlib.suppress(OSError):
            (folder / path).unlink()
    for place, _, _ in os.walk(folder, topdown=False):
        if Path(place) != folder or not there:
            with contextlib.suppress(OSError):
                os.rmdir(place)
