"""How well a search finds what was meant, by the kind of query.

    python tests/search/measure.py [--held] [--misses]

`queries.tsv` has `kind, part, query, ids`: the ids of every write-up that a technician at the
bench would accept, the best first. `unanswerable.tsv` has `kind, part, query`: what the starter
book has no answer to. Part `open` may be looked at while the search is tuned, part `held` (a third
of each kind, drawn by lot) is for the last measurement: only its figures are printed, never its
queries.

found@5   share of queries with an acceptable write-up in the first five
recall@5  share of the acceptable write-ups that are in the first five, a query's mean
MRR@10    mean of 1 / place of the first acceptable write-up, 0 beyond the tenth
weak      share of answers that the search itself marks as weak
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from fixbook.app.folders import Folders
from fixbook.app.indexing import BookIndex
from fixbook.app.library import Library
from fixbook.core.query import Request
from fixbook.settings import Place

HERE = Path(__file__).parent
OPEN, HELD = "open", "held"
ALL = "all"
DEEP = 10


class Query(NamedTuple):
    """What somebody asks, and the ids that answer it: none where the book cannot."""

    kind: str
    part: str
    words: str
    ids: tuple[str, ...] = ()


class Asked(NamedTuple):
    """A query with what the search said."""

    query: Query
    keys: tuple[str, ...]
    """The first ten ids found."""
    weak: bool

    @property
    def place(self) -> int:
        """Place of the first acceptable write-up; 0 beyond the tenth."""
        return next((at for at, key in enumerate(self.keys, 1) if key in self.query.ids), 0)


class Figures(NamedTuple):
    """What a number of queries come to."""

    count: int
    found: float
    recall: float
    reciprocal: float
    weak: float


def read_queries(name: str) -> list[Query]:
    """Read `queries` or `unanswerable`."""
    lines = (HERE / f"{name}.tsv").read_text(encoding="utf-8").splitlines()
    rows = [line.split("\t") for line in lines]
    return [Query(*row[:3], tuple(row[3].split(",")) if len(row) > 3 else ()) for row in rows]


def open_starter(home: Path) -> BookIndex:
    """Give an index over the starter book alone, kept under a folder."""
    library = Library(Place(None, "nothing"), Folders(home / "c", home / "d", home / "s"))
    index = BookIndex(library, fast=True)
    index.refresh()
    return index


def ask_all(index: BookIndex, queries: Iterable[Query]) -> Iterator[Asked]:
    """Ask each query for its first ten hits."""
    for query in queries:
        findings = index.search(Request(query.words, (), DEEP))
        yield Asked(query, tuple(hit.key for hit in findings.hits), findings.weak)


def figures(asked: Sequence[Asked]) -> Figures:
    """Add up some answers; there must be at least one."""
    count = len(asked)
    return Figures(
        count,
        sum(1 <= one.place <= 5 for one in asked) / count,
        sum(_recall(one) for one in asked) / count,
        sum(1 / one.place for one in asked if one.place) / count,
        sum(one.weak for one in asked) / count,
    )


def _recall(one: Asked) -> float:
    ids = set(one.query.ids)
    return len(ids & set(one.keys[:5])) / len(ids) if ids else 0.0


def by_kind(asked: Sequence[Asked]) -> dict[str, Figures]:
    """Give the figures of each kind, in the order of the file, and of all."""
    kinds = dict.fromkeys(one.query.kind for one in asked)
    rows = {kind: figures([one for one in asked if one.query.kind == kind]) for kind in kinds}
    return {**rows, ALL: figures(asked)}


def table(rows: dict[str, Figures], *, answerable: bool) -> str:
    """Lay figures out, a kind a line; those of places only where there is something to find."""
    lines = [f"{'kind':14}{'queries':>9}{'found@5':>9}{'recall@5':>10}{'MRR@10':>8}{'weak':>7}"]
    for kind, row in rows.items():
        places = f"{row.found:9.3f}{row.recall:10.3f}{row.reciprocal:8.3f}"
        lines.append(f"{kind:14}{row.count:9}{places if answerable else ' ' * 27}{row.weak:7.3f}")
    return "\n".join(lines)


def misses(asked: Iterable[Asked]) -> Iterator[str]:
    """Describe each query whose answer is not in the first five."""
    for one in asked:
        if not 1 <= one.place <= 5:
            got = ", ".join(one.keys[:3]) or "nothing"
            yield (
                f"{one.place or 'beyond'}\t{one.query.kind}\t{one.query.words}\t"
                f"wanted {', '.join(one.query.ids)}; got {got}"
            )


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description="Measure the search over the starter book.")
    parser.add_argument("--held", action="store_true", help="the part kept untouched, figures only")
    parser.add_argument("--misses", action="store_true", help="list what is not found, or not weak")
    chosen = parser.parse_args()
    if chosen.held and chosen.misses:
        parser.error("queries of the held part are not shown; leave out --held or --misses")
    part = HELD if chosen.held else OPEN
    with tempfile.TemporaryDirectory() as home:
        index = open_starter(Path(home))
        asked, hopeless = (
            list(ask_all(index, (query for query in read_queries(name) if query.part == part)))
            for name in ("queries", "unanswerable")
        )
    if chosen.misses:
        print(*misses(asked), sep="\n")
        print(
            *(f"weak\t{one.query.kind}\t{one.query.words}" for one in asked if one.weak), sep="\n"
        )
        print(*(f"not weak\t{one.query.words}\t{one.keys[:1]}" for one in hopeless if not one.weak),
              sep="\n")  # fmt: skip
    print(f"{part} part, answerable\n{table(by_kind(asked), answerable=True)}\n")
    print(f"{part} part, unanswerable\n{table(by_kind(hopeless), answerable=False)}")


if __name__ == "__main__":
    main()
