"""The ranking equals a slow plain formula, in plain Python and in arrays."""

from __future__ import annotations

import math
import tempfile
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.query import Document, Filter, Request
from fixbook.search import Index
from fixbook.search.weights import K1, PART_WEIGHTS, WITHIN, B

WORDS = ("zum", "zap", "zot", "zim", "zed", "zag")
texts = st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join)
book = st.lists(
    st.fixed_dictionaries({"title": texts, "signs": texts, "body": texts}), min_size=1, max_size=8
)
question = st.lists(st.sampled_from(WORDS), min_size=1, max_size=4, unique=True)


def plain_bm25f(parts: Sequence[Mapping[str, str]], words: Sequence[str]) -> dict[int, float]:
    """Give each document's score, straight from the formula."""
    counts = [Counter[str]() for _ in parts]
    for count, document in zip(counts, parts, strict=True):
        for name, text in document.items():
            for word, times in Counter(text.split()).items():
                within = times * (WITHIN + 1) / (times + WITHIN)
                count[word] += PART_WEIGHTS[name] * within  # type: ignore[assignment]
    lengths = [
        sum(PART_WEIGHTS[name] * len(text.split()) for name, text in document.items())
        for document in parts
    ]
    average = sum(lengths) / len(lengths)
    scores: dict[int, float] = {}
    for word in words:
        having = [n for n, count in enumerate(counts) if word in count]
        idf = math.log(1 + (len(parts) - len(having) + 0.5) / (len(having) + 0.5))
        for n in having:
            tf = counts[n][word]
            norm = K1 * (1 - B + B * lengths[n] / average)
            scores[n] = scores.get(n, 0) + idf * tf * (K1 + 1) / (tf + norm)
    return scores


def build(folder: str, parts: Sequence[Mapping[str, str]], *, batches: int = 1) -> None:
    """Index documents in one or more generations."""
    index = Index(Path(folder) / "index", "1")
    for batch in range(batches):
        given_ = {
            f"s{n}": [Document(f"k{n}", f"s{n}", p, {"odd": (str(n % 2),)})]
            for n, p in enumerate(parts)
            if n % batches == batch
        }
        index.update(given_, stamps={})


@pytest.mark.parametrize("fast", [False, True], ids=["plain", "arrays"])
@settings(max_examples=60, deadline=None)
@given(parts=book, words=question)
def test_scores_equal_the_formula(
    fast: bool, parts: list[dict[str, str]], words: list[str]
) -> None:
    """Every score of a random small book is the formula's, to single precision."""
    with tempfile.TemporaryDirectory() as folder:
        build(folder, parts)
        index = Index(Path(folder) / "index", "1", fast=fast)
        found = dict(index.ranked(Request(" ".join(words), limit=100)))
    wanted = {f"k{n}": score for n, score in plain_bm25f(parts, words).items()}
    assert found == pytest.approx(wanted, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(
    parts=book,
    words=st.lists(st.sampled_from([*WORDS, '"zum zap"', "-zed", "zumm", "nowhere"]), max_size=4),
    limit=st.integers(0, 5),
    odd=st.sampled_from([None, "0", "1", ""]),
    batches=st.integers(1, 3),
)
def test_arrays_answer_as_plain_python_does(
    parts: list[dict[str, str]], words: list[str], limit: int, odd: str | None, batches: int
) -> None:
    """Both give the same findings to the last bit: hits, scores, counts, reasons."""
    filters = () if odd is None else (Filter("odd", frozenset({odd})),)
    request = Request(" ".join(words), filters, limit)
    with tempfile.TemporaryDirectory() as folder:
        build(folder, parts, batches=batches)
        plain, arrays = (Index(Path(folder) / "index", "1", fast=f) for f in (False, True))
        assert plain.search(request) == arrays.search(request)


@settings(max_examples=30, deadline=None)
@given(parts=book, words=question, batches=st.integers(2, 4))
def test_an_index_built_in_steps_ranks_as_one_built_at_once(
    parts: list[dict[str, str]], words: list[str], batches: int
) -> None:
    """Where a document is stored makes no difference to its score."""
    request = Request(" ".join(words), limit=50)
    ranked = []
    for steps in (1, batches):
        with tempfile.TemporaryDirectory() as folder:
            build(folder, parts, batches=steps)
            ranked.append(dict(Index(Path(folder) / "index", "1").ranked(request)))
    assert ranked[0] == pytest.approx(ranked[1], rel=1e-6)
