"""Making a book, and saying which one is open."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fixbook.errors import BookError, what_to_do
from fixbook.settings import FILE, FORMAT
from fixbook.store.folder import ENTRIES, PICTURES, VOCABULARY
from fixbook.store.writing import write_text

SETTINGS = """\
# The settings of this book. Everything here may be left out.
format = {format}
name = {name}
# starter = true          # the starter book stands beside this one
# warranty_days = 90
# mains_voltage = 230
# mains_hz = 50
# day_first = true        # 3/4/2026 is the third of April
# stock = "stock.csv"
# jobs = ""               # address of a job database that several benches share
#
# One line for each meter and range; readings are then judged with its accuracy.
# [[meters]]
# reads = "ohms"          # as in a target: ohms, esr, dc, ac-rms, peak-to-peak, farads ...
# percent = 0.5
# counts = 2
# resolution = "0.1 ohm"
# up_to = "600 ohm"
"""

IGNORED = """\
# Kept out of version control: what belongs to this bench alone.
jobs.sqlite*
drafts/
.fixbook-partial-*
__pycache__/
"""


def new_book(folder: Path) -> list[Path]:
    """Make a book in a folder; the files that were made. BookError where there is one already.

    A folder with other files in it becomes a book too; no file is touched that is there.
    """
    if (folder / FILE).exists():
        raise BookError(
            f"{folder} is a book already",
            input="DIR",
            read=str(folder),
            hint="add write-ups under its entries/ folder, or name another folder",
        )
    made = []
    with making(folder):
        for part in (ENTRIES, f"{ENTRIES}/{VOCABULARY}", f"{ENTRIES}/{PICTURES}"):
            (folder / part).mkdir(parents=True, exist_ok=True)
        texts = {
            ".gitignore": IGNORED,
            FILE: SETTINGS.format(name=_quoted(folder.resolve().name), format=FORMAT),
        }
        for name, text in texts.items():
            if not (folder / name).exists():
                write_text(folder / name, text)
                made.append(folder / name)
    return made


@contextmanager
def making(folder: Path) -> Iterator[None]:
    """Turn what the system says while a book is made in a folder into words: BookError."""
    try:
        yield
    except OSError as error:
        raise BookError(
            f"the book {folder} cannot be made: {error.strerror or error}",
            input="DIR",
            read=str(folder),
            hint=what_to_do(error, "name a folder that you may write to"),
        ) from error


def _quoted(text: str) -> str:
    """Write a text as a basic string of TOML."""
    safe = "".join(letter if letter.isprintable() else " " for letter in text)
    return '"' + safe.replace("\\", "\\\\").replace('"', '\\"') + '"'
