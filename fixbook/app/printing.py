"""A sheet, a calculation or what a command shows, as one page of HTML that needs nothing else."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Sequence
from pathlib import Path

from fixbook.app.library import Filed, Library
from fixbook.app.printing_pictures import Pictures
from fixbook.app.printing_record import record_blocks
from fixbook.core.bench import Bench
from fixbook.core.calculation import Result
from fixbook.core.sheet import Block
from fixbook.render.drawing.svg import drawing_address
from fixbook.render.page.filling import Surroundings, sheet_page
from fixbook.store.folder import PICTURES, list_files


def print_sheet(
    library: Library, filed: Filed, bench: Bench, checks: Sequence[str] = (), *, paper: str = ""
) -> str:
    """Give a write-up's sheet as a page; QueryError or QuantityError as `lay_out` raises them."""
    from fixbook.app.sheets import lay_out

    entry = filed.entry
    revised = f"revised {entry.revised}" if entry.revised else ""
    under = (entry.id, entry.unit, entry.section, revised)
    blocks = lay_out(library, filed, bench, checks, paper=True)
    foot = [f"{entry.id}, {book_words(library)}, printed {today()}"]
    return sheet_page(entry.title, under, blocks, around(library), foot=foot, paper=paper)


def print_result(library: Library, result: Result, *, paper: str = "") -> str:
    """Give a calculation as a record: what went in, how, what came out, and the day."""
    name = result.calculator.name
    foot = [f"calculation {name}, {today()}"]
    blocks = record_blocks(result)
    title, under = result.calculator.question, (f"fixbook calc {name}", today())
    return sheet_page(title, under, blocks, around(library), foot=foot, paper=paper)


def print_blocks(library: Library, title: str, blocks: Sequence[Block], *, paper: str = "") -> str:
    """Give what a command shows as a page."""
    foot = [f"{book_words(library)}, printed {today()}"]
    return sheet_page(title, (), blocks, around(library), foot=foot, paper=paper)


def around(library: Library) -> Surroundings:
    """Give what a page that stands alone has about it: pictures of the book, and what draws."""
    pictures = Pictures(shelf.root for shelf in library.shelves)
    return Surroundings(picture=pictures.address, draw=drawing_address)


def book_words(library: Library) -> str:
    """Name the book with its revision and how many write-ups it has."""
    name = library.shop.name or ("own book" if library.own else "starter book")
    count = sum(len(listing.entries) for listing in library.listings.values())
    return f"{name}, revision {revision(library)} of {count} write-ups"


def revision(library: Library) -> str:
    """Give a text that is the same for books with the same write-ups, words and pictures."""
    whole = hashlib.sha256()
    for shelf in library.shelves:
        listing = library.listings[shelf.name]
        pictures, _ = list_files(shelf.root, PICTURES)
        for path in sorted({*listing.entries, *listing.vocabulary, *pictures}):
            whole.update(f"{path}\0{_digest(shelf.root / path)}\0".encode("utf-8", "replace"))
    return whole.hexdigest()[:8]


def today() -> str:
    """Give the day as it is written: 2026-11-25."""
    return time.strftime("%Y-%m-%d")


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""
