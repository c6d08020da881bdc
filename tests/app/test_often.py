"""What a shop sees often ranks a little higher among equals, and no more than that."""

from __future__ import annotations

import json

import pytest

from fixbook.app.often import FILE, MOST, Often
from fixbook.core.query import Findings, Hit, Request


@pytest.fixture
def order(tmp_path):
    """Give the order of hits by their scores, with what was seen: `order({"a": 1.0}, {"a": 3})`."""

    def put(scores, counts, limit=10):
        often = Often(tmp_path)
        often.keep(counts)
        request = Request("hum", limit=limit)
        assert often.wider(request).limit >= limit
        hits = tuple(Hit(key, {}, score) for key, score in scores.items())
        return [hit.key for hit in often.ranked(Findings("hum", "hum", hits=hits), request).hits]

    return put


def test_among_equals_the_one_seen_most_comes_first(order):
    """Equal scores are put in the order of how often each was seen; the rest keep theirs."""
    scores = dict.fromkeys(("a", "b", "c", "d"), 2.0)
    assert order(scores, {"c": 4, "d": 40}) == ["d", "c", "a", "b"]


def test_what_fits_better_stays_before_what_is_only_frequent(order):
    """Nothing passes a hit that scores higher by more than the bound, however often it was seen."""
    assert order({"a": 1.0 + MOST + 0.001, "b": 1.0}, {"b": 10**9}) == ["a", "b"]


def test_one_beyond_the_limit_moves_up_into_it(order):
    """The hits asked for are cut after they were put in order."""
    assert order({"a": 2.0, "b": 2.0, "c": 2.0}, {"c": 50}, limit=2) == ["c", "a"]


def test_without_counts_nothing_is_changed(order):
    """Where nothing was counted, hits come as they were ranked, and no file is left."""
    assert order({"a": 1.0, "b": 2.0}, {"a": 0}) == ["a", "b"]


def test_a_damaged_file_of_counts_is_no_counts(tmp_path):
    """What cannot be read costs the little higher rank, and nothing else."""
    (tmp_path / FILE).write_text("nothing of ours")
    often, request = Often(tmp_path), Request("hum")
    assert often.wider(request) == request


def test_the_parts_of_a_score_still_add_up(book, fixbook, tmp_path):
    """With --explain, what was added for past jobs is one of the score's parts."""
    book.add("amp-hum", title="It hums")
    for number in ("1", "2"):
        fixbook("job", "new", "--complaint", "hums", "--number", number)
        fixbook("job", "link", number, "amp-hum")
    hit = json.loads(fixbook("find", "hums", "--explain", "--json").out)["hits"][0]
    assert hit["gains"][-1]["words"] == "seen here 2 times"
    added = sum(one["worth"] * one["share"] for one in hit["gains"])
    assert added == pytest.approx(hit["score"], rel=1e-4)
