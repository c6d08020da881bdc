"""What a shop sees often ranks a little higher among equals, and no more than that."""

from __future__ import annotations

import json

import pytest

from fixbook.app.often import FILE, Often
from fixbook.core.query import Document, Request
from fixbook.search import Index


@pytest.fixture
def order(tmp_path):
    """Give the order of hits by their titles, with what was seen: `order({"a": "It hums"}, {"a": 3})`."""

    def put(titles, counts, limit=10):
        often = Often(tmp_path / "often")
        often.keep(counts)
        index = Index(tmp_path / "index", "1")
        documents = {key: [Document(key, key, {"title": title})] for key, title in titles.items()}
        index.update(documents, stamps={})
        request = Request("hum", limit=limit)
        return [hit.key for hit in index.search(request, often.raised(request)).hits]

    return put


def test_among_equals_the_one_seen_most_comes_first(order):
    """Equal scores are put in the order of how often each was seen; the rest keep theirs."""
    titles = dict.fromkeys(("a", "b", "c", "d"), "It hums")
    assert order(titles, {"c": 4, "d": 40}) == ["d", "c", "a", "b"]


def test_what_fits_better_stays_before_what_is_only_frequent(order):
    """Nothing passes a hit that scores higher by more than the bound, however often it was seen."""
    assert order({"a": "Hum", "b": "It has a hum in it"}, {"b": 10**9}) == ["a", "b"]


def test_one_beyond_the_limit_moves_up_into_it(order):
    """The hits asked for are cut after they were put in order."""
    titles = dict.fromkeys(("a", "b", "c"), "It hums")
    assert order(titles, {"c": 50}, limit=2) == ["c", "a"]


def test_without_counts_nothing_is_changed(order):
    """Where nothing was counted, hits come as they were ranked, and no file is left."""
    assert order({"a": "It hums", "b": "It hums"}, {"b": 0}) == ["a", "b"]


def test_a_damaged_file_of_counts_is_no_counts(tmp_path):
    """What cannot be read costs the little higher rank, and nothing else."""
    (tmp_path / FILE).write_text("nothing of ours")
    assert not Often(tmp_path).raised(Request("hum"))


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
