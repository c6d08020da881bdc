"""The files are Whoosh's: its own reader and ours find the same in them.

These tests fail loudly when a release of Whoosh lays its files out differently.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from whoosh import index as whoosh_index
from whoosh.query import Phrase, Term

from fixbook.core.query import Document, Filter, Request
from fixbook.search import Index
from fixbook.search.manifest import read_manifest
from fixbook.search.snapshot import Snapshot

COMMON = "alpha"


def many(count: int) -> list[Document]:
    """Give documents with one word in all, and one in some."""
    return [
        Document(f"k{n:04}", f"s{n:04}", {"body": f"alpha number{n} " + "beta " * (n % 5)})
        for n in range(count)
    ]


def opened(folder: Path) -> Snapshot:
    """Open the index as search does."""
    manifest = read_manifest(folder)
    assert manifest
    return Snapshot(folder, manifest)


def test_whoosh_reads_the_same_terms_and_postings(make: Callable[..., Index], folder: Path) -> None:
    """Every term, document, weight and place that Whoosh's reader gives is what ours gives."""
    make(many(1300))
    (segment,) = opened(folder).segments
    with whoosh_index.open_dir(str(folder), indexname="fixbook").reader() as reader:
        compared = 0
        for _, raw in reader.all_terms():
            term = raw.decode()
            theirs = reader.postings("text", term)
            ours = segment.postings(term)
            for number, weight, places in zip(ours.ids, ours.weights, ours.places, strict=True):
                assert (theirs.id(), theirs.weight(), theirs.value()) == (number, weight, places)
                theirs.next()
            assert not theirs.is_active()
            compared += 1
    assert compared > 1300


def test_whoosh_counts_documents_and_lengths(make: Callable[..., Index], folder: Path) -> None:
    """Whoosh's own statistics fit ours."""
    make(many(40))
    snapshot = opened(folder)
    with whoosh_index.open_dir(str(folder), indexname="fixbook").reader() as reader:
        assert reader.doc_count() == snapshot.count
        assert reader.field_length("text") == sum(snapshot.segments[0].columns.lengths)
        assert reader.doc_frequency("text", COMMON) == 40


def test_whoosh_searches_phrases_in_it(index: Index, folder: Path) -> None:
    """The index is one like any other to Whoosh's searcher, positions included."""
    opened_index = whoosh_index.open_dir(str(folder), indexname="fixbook")
    with opened_index.searcher() as searcher:
        (hit,) = searcher.search(Phrase("text", ["not", "turn", "on"]))
        assert hit["key"] == "will-not-start"


def test_whoosh_leaves_out_what_was_deleted(
    index: Index, folder: Path, book: Sequence[Document]
) -> None:
    """A removed source is deleted in Whoosh's table of contents too."""
    index.update({}, removed=[book[0].source], stamps={})
    with whoosh_index.open_dir(str(folder), indexname="fixbook").searcher() as searcher:
        assert not searcher.search(Term("text", "reservoir"))


def test_a_term_that_nobody_has_is_not_found(index: Index, folder: Path) -> None:
    """Looking up an absent term gives nothing."""
    assert opened(folder).segments[0].place("nowhere") is None


def test_long_documents_are_found_to_the_end(make: Callable[..., Index]) -> None:
    """A write-up of a million characters is found by its last word, and by a phrase early on."""
    body = "early words here " + "filler " * 150_000 + " lastword"
    index = make([Document("long", "long", {"body": body})])
    for words in ("lastword", '"early words"'):
        assert index.search(Request(words)).total == 1


@pytest.mark.parametrize("fast", [False, True], ids=["plain", "arrays"])
def test_odd_characters_are_kept(make: Callable[..., Index], fast: bool) -> None:
    """Terms, values and text outside ASCII come back as they were."""
    document = Document(
        "k", "s", {"body": "見る 抵抗 \ud800 x"}, {"unit": ("測定器",)}, {"title": "見る\n"}
    )
    index = make([document], fast=fast)
    found = index.search(Request("抵抗", (Filter("unit", frozenset({"測定器"})),)))
    assert [hit.shown for hit in found.hits] == [{"title": "見る\n"}]
