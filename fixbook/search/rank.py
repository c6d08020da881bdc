"""Rank documents with BM25F, in plain Python.

A word's counts in the parts of a document are weighted and added up, and the sum is saturated
once (Robertson, Zaragoza and Taylor, "Simple BM25 extension to multiple weighted fields", 2004).
One step is our own: a count is saturated within its part first, since a word said often in a long
text tells less than one that stands in the title as well. The sums are the weights of Whoosh's
postings; the weighted length goes with them.

    w     = sum over parts of  weight * (c + 1) * count / (count + c)
    score = sum over words of  idf * w * (k1 + 1) / (w + k1 * (1 - b + b * length / average))
    idf   = ln(1 + (N - n + 0.5) / (n + 0.5))
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from fixbook.core.query import Filter
from fixbook.search.expand import Unit
from fixbook.search.facets import Counted, Counts, by_name, count_into, filter_mask
from fixbook.search.matching import Way, find_way, union
from fixbook.search.parse import Phrase
from fixbook.search.snapshot import Postings, Segment, Snapshot
from fixbook.search.weights import K1, B


class Ranked(NamedTuple):
    """One document in the result."""

    score: float
    segment: int
    number: int


class Result(NamedTuple):
    """The whole result: how many, the best, the counts, and what each word is worth."""

    total: int
    best: Sequence[Ranked]
    counts: Counted
    worth: Sequence[float]
    """The idf of each unit, then of each phrase."""


class Plan(NamedTuple):
    """What a search has to find."""

    units: Sequence[Unit]
    phrases: Sequence[Phrase]
    left_out: Sequence[Phrase]
    filters: Sequence[Filter]
    limit: int


def idf(documents: int, having: int) -> float:
    """Give what a word is worth that so many documents have."""
    return math.log(1 + (documents - having + 0.5) / (having + 0.5))


def unit_postings(segment: Segment, unit: Unit) -> Postings:
    """Give the documents that have a unit in any way."""
    lists = [find_way(segment, way) for way in unit.ways]
    lists = [postings for postings in lists if postings.ids]
    return lists[0] if len(lists) == 1 else union(lists)


class PlainRanker:
    """Ranks in plain Python, without anything to import."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot

    def rank(self, plan: Plan) -> Result:
        """Find, rank and count."""
        segments = self._snapshot.segments
        wanted = [*plan.units, *(Unit(p.text, [Way(p.slots)]) for p in plan.phrases)]
        found = [[unit_postings(segment, unit) for unit in wanted] for segment in segments]
        worth = [self._worth([row[n] for row in found]) for n in range(len(wanted))]
        counts: Counts = {}
        total, best = 0, []
        for at, segment in enumerate(segments):
            mask = self._mask(segment, plan, found[at])
            scores = self._scores(segment, found[at], worth, mask)
            if not wanted:
                scores = dict.fromkeys((n for n, passes in enumerate(mask) if passes), 0.0)
            result = bytearray(segment.columns.documents)
            for number in scores:
                result[number] = 1
            total += len(scores)
            count_into(counts, segment.columns, result)
            best += pick_best(segment, at, scores, plan.limit)
        best.sort(key=lambda r: (-r.score, segments[r.segment].columns.keys[r.number]))
        return Result(total, best[: plan.limit], by_name(counts), worth)

    def _worth(self, row: Sequence[Postings]) -> float:
        having = 0
        for segment, postings in zip(self._snapshot.segments, row, strict=True):
            ids = postings.ids
            having += sum(map(segment.live.__getitem__, ids)) if segment.note.deleted else len(ids)
        return idf(self._snapshot.count, having)

    def _mask(self, segment: Segment, plan: Plan, found: Sequence[Postings]) -> bytearray:
        mask = filter_mask(segment.columns, plan.filters, segment.live)
        for phrase in plan.left_out:
            for number in find_way(segment, Way(phrase.slots)).ids:
                mask[number] = 0
        for postings in found[len(plan.units) :]:
            kept = bytearray(len(mask))
            for number in postings.ids:
                kept[number] = mask[number]
            mask = kept
        return mask

    def _scores(
        self,
        segment: Segment,
        found: Sequence[Postings],
        worth: Sequence[float],
        mask: bytearray,
    ) -> dict[int, float]:
        slope = K1 * B / (self._snapshot.average_length or 1.0)
        norms = [K1 * (1 - B) + slope * length for length in segment.columns.lengths]
        scores: dict[int, float] = {}
        for postings, value in zip(found, worth, strict=True):
            value *= K1 + 1
            # The same steps in the same order as in arrays, so that both give the same scores.
            for number, weight in zip(postings.ids, postings.weights, strict=True):
                if mask[number]:
                    gained = value * (weight / (weight + norms[number]))
                    scores[number] = scores.get(number, 0.0) + gained
        return scores


def pick_best(segment: Segment, at: int, scores: dict[int, float], limit: int) -> list[Ranked]:
    """Give a segment's best documents, and all that are as good as the last of them."""
    if limit <= 0:
        return []
    if len(scores) > limit:
        least = sorted(scores.values(), reverse=True)[limit - 1]
        tied = [n for n, score in scores.items() if score == least]
        better = [n for n, score in scores.items() if score > least]
        keys = segment.columns.keys
        chosen = [*better, *sorted(tied, key=lambda n: keys[n])[:limit]]
    else:
        chosen = list(scores)
    return [Ranked(scores[n], at, n) for n in chosen]
