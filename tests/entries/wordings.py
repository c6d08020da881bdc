"""Where the three wordings of each write-up put it: python tests/entries/wordings.py.

The wordings were written from the fault's name alone, in the voices of customers and technicians.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from fixbook.app.folders import Folders
from fixbook.app.indexing import BookIndex
from fixbook.app.library import Library
from fixbook.core.query import Request
from fixbook.settings import Place

FILE = Path(__file__).with_name("wordings.tsv")
DEEP = 10


def wordings() -> list[tuple[str, str]]:
    """Give each id with one wording."""
    lines = FILE.read_text(encoding="utf-8").splitlines()
    pairs = [line.partition("\t") for line in lines if line.strip()]
    return [(id, words) for id, _, words in pairs]


def places(home: Path) -> Iterator[tuple[str, str, int]]:
    """Give each id and wording with the place of the write-up in the answer; 0 beyond the tenth."""
    library = Library(Place(None, "nothing"), Folders(home / "c", home / "d", home / "s"))
    index = BookIndex(library, fast=True)
    index.refresh()
    for id, words in wordings():
        keys = [hit.key for hit in index.search(Request(words, (), DEEP)).hits]
        yield id, words, keys.index(id) + 1 if id in keys else 0


def main() -> None:
    """Print the misses and the figures."""
    with tempfile.TemporaryDirectory() as home:
        found = list(places(Path(home)))
    for id, words, place in found:
        if not 1 <= place <= 5:
            print(f"{place or 'beyond'}\t{id}\t{words}")
    five = sum(1 for *_, place in found if 1 <= place <= 5)
    first = sum(1 for *_, place in found if place == 1)
    reciprocal = sum(1 / place for *_, place in found if place) / len(found)
    print(f"{len(found)} wordings: {five / len(found):.3f} in the first five, "
          f"{first / len(found):.3f} first, MRR@10 {reciprocal:.3f}")  # fmt: skip


if __name__ == "__main__":
    main()
