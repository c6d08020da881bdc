"""Why a hit is one, told from its own postings alone, equals what its text says."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.query import Document, Request
from fixbook.search import Index
from fixbook.search.manifest import page_sums, read_manifest
from fixbook.search.packed import Packed, PackWriter, Spot
from fixbook.search.pages import CheckedFile
from fixbook.search.snapshot import Snapshot
from fixbook.search.weights import PART_WEIGHTS

WORDS = ("zum", "zump", "zap", "zot", "zim")
texts = st.lists(st.sampled_from(WORDS), max_size=9).map(" ".join)
book = st.lists(
    st.fixed_dictionaries({"title": texts, "lay": texts, "body": texts}), min_size=1, max_size=7
)


def stands_in(text: str, asked: str, *, beginning: bool) -> bool:
    """Say whether a word, a beginning or a phrase stands in a text, word by word."""
    words, wanted = text.split(), asked.strip('"').split()
    if beginning:
        return any(word.startswith(asked) for word in words)
    return any(words[at : at + len(wanted)] == wanted for at in range(len(words)))


def plain_reasons(parts: Mapping[str, str], asked: Sequence[str], *, typing: bool) -> list[str]:
    """Say what matched in a document by reading all of it: each in its heaviest part."""
    said = []
    words = [one for one in asked if not one.startswith('"')]
    for one in (*words, *(one for one in asked if one.startswith('"'))):
        beginning = typing and one == asked[-1]
        having = [n for n, text in parts.items() if stands_in(text, one, beginning=beginning)]
        if having:
            said.append(f"{one} in {max(having, key=lambda n: PART_WEIGHTS[n])}")
    return said


@pytest.mark.parametrize("fast", [False, True], ids=["plain", "arrays"])
@settings(max_examples=20, deadline=None)
@given(
    parts=book,
    words=st.lists(
        st.sampled_from([*WORDS, '"zum zap"', '"zot zot zim"']), max_size=3, unique=True
    ),
    last=st.sampled_from(["zum", "zu", "z", "zi"]),
    batches=st.integers(1, 3),
)
def test_reasons_are_those_of_reading_everything(
    fast: bool, parts: list[dict[str, str]], words: list[str], last: str, batches: int
) -> None:
    """Every hit of a search while typing has the reasons that its whole text gives."""
    asked = [one for one in words if one != last] + [last]
    with tempfile.TemporaryDirectory() as folder:
        index = Index(Path(folder) / "index", "1", fast=fast)
        for batch in range(batches):
            some = [n for n in range(len(parts)) if n % batches == batch]
            index.update({f"s{n}": [Document(f"k{n}", f"s{n}", parts[n])] for n in some}, stamps={})
        found = index.search(Request(" ".join(asked), limit=50, typing=True))
    said = {hit.key: list(hit.why) for hit in found.hits}
    wanted = {key: plain_reasons(parts[int(key[1:])], asked, typing=True) for key in said}
    if not found.mended:
        assert said == wanted


def test_packed_postings_are_the_blocks_postings(tmp_path: Path) -> None:
    """Documents, weights and places of every term are the same, kept either way."""
    documents = [
        Document(f"k{n}", f"s{n}", {"title": f"alpha{n % 7}", "body": "alpha beta " * (n % 9)})
        for n in range(700)
    ]
    index = Index(tmp_path / "index", "1")
    index.update({one.source: [one] for one in documents}, stamps={})
    manifest = read_manifest(tmp_path / "index")
    assert manifest
    (segment,) = Snapshot(tmp_path / "index", manifest).segments
    for term in ("alpha", "beta", *(f"alpha{n}" for n in range(7))):
        (spot,), blocks = segment.spots((term,)), segment.postings(term)
        assert list(segment.packed.ids(spot)) == blocks.ids
        assert segment.packed.places(spot, blocks.ids) == blocks.places
        assert [segment.packed.places_at([spot], n) for n in blocks.ids] == blocks.places


@pytest.mark.parametrize(
    ("ids", "weights", "places"),
    [
        ([3, 70_000], [1.0, 2.5], ["ab", "\U0001f600"]),
        ([0, 1], [0.1, 0.3], ["\ud801\udc01", "\udc01"]),
        (list(range(70_000)), [n / 7 for n in range(70_000)], ["x"] * 70_000),
    ],
    ids=["wide", "halves of characters", "many weights"],
)
def test_odd_postings_come_back_as_they_were(
    tmp_path: Path, ids: list[int], weights: list[float], places: list[str]
) -> None:
    """Large numbers, places like halves of a character, and very many different weights."""
    from fixbook.search.arrays import _unpacked

    path = tmp_path / "x.pack"
    with path.open("wb") as file:
        pack = PackWriter(file)
        spots = [Spot(at, n, kind) for n, (at, kind) in [
            (1, pack.add([5], [0.7], ["q"])), (len(ids), pack.add(ids, weights, places)),
        ]]  # fmt: skip
        pack.finish()
    packed = Packed(CheckedFile(path, path.stat().st_size, page_sums(path)))
    found, heavy = _unpacked(packed, spots[1])
    assert (found.tolist(), heavy.tolist()) == (ids, weights)
    assert packed.places(spots[1], ids[:3]) == places[:3]
    assert packed.places_at(spots, ids[-1]) == places[-1]
