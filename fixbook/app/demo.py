"""Making the demonstration book in a folder."""

from __future__ import annotations

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
    with making(folder):
        for path, data in made.items():
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            write_bytes(folder / path, data)
    return sorted(made)
