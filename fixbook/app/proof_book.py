"""Proof rules that need the whole book: ids that stand twice, write-ups too like each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from fixbook.app.reading_files import Copy
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.proof_likeness import near_duplicates, untold
from fixbook.core.vocabulary import Vocabulary


def repeated_ids(pages: Iterable[Page]) -> Iterator[Problem]:
    """Report ids, present or former, that two files have, as after a merge."""
    owners: dict[str, Page] = {}
    for page in pages:
        for id in (page.entry.id, *page.entry.aliases):
            first = owners.setdefault(id, page)
            if first is page:
                continue
            former = id != page.entry.id
            what = (
                f"{id!r} is {'a former id here and ' if former else ''}the id of {first.file} too"
            )
            do = "give one of them another id; until then only the first is found"
            yield page.fault("repeated-id", what, do, "aliases" if former else "id")


def too_alike(copies: Sequence[Copy], vocabulary: Vocabulary) -> Iterator[Problem]:
    """Report write-ups that no sign tells from another, and those that are nearly the same text."""
    pages = {id(page.entry): page for copy in copies if (page := copy.page)}
    entries = [page.entry for page in pages.values()]
    for entry, other in untold(entries, vocabulary):
        page, first = pages[id(entry)], pages[id(other)]
        what = f"no sign tells it from {other.id} ({first.file})"
        do = "add a sign that one shows and the other does not, or make one write-up of both"
        yield page.fault("untold", what, do, "signs")
    standing = [entry for entry in entries if entry.state != "withdrawn"]
    for entry, other, alike in near_duplicates(standing):
        page, first = pages[id(entry)], pages[id(other)]
        what = f"{alike:.0%} of the text is that of {other.id} ({first.file})"
        do = "make one write-up of both, or say in each what is its own"
        yield page.body_fault("near-duplicate", what, do, 1)
