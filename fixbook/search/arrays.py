"""The same ranking as `rank`, in arrays, for a program that stays open.

Every segment's documents are numbered on from the one before, so that a word costs a few array
operations however many segments there are. Imported only where it is asked for: numpy's import
costs more than a whole cold search.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

import numpy as np

from fixbook.core.query import NO_VALUE, Filter
from fixbook.search.expand import Unit
from fixbook.search.facets import Counts
from fixbook.search.matching import Way, find_way
from fixbook.search.rank import Plan, Ranked, Result, idf
from fixbook.search.snapshot import Snapshot
from fixbook.search.weights import K1, B

Array = np.ndarray[Any, Any]

_MOST_KEPT = 4_000_000
"""Postings kept in arrays; twelve bytes each."""


class _Facet:
    """A facet's values over all segments."""

    def __init__(self, names: Sequence[str], docs: Array, starts: Array) -> None:
        self.names = names
        self.docs = docs
        self.starts = starts
        """Where each value's documents start; one more for the end."""

    def docs_of(self, value: str) -> Array:
        """Give the documents that have a value."""
        at = self.names.index(value)
        found: Array = self.docs[self.starts[at] : self.starts[at + 1]]
        return found


class ArrayRanker:
    """Ranks in arrays."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        counts = [segment.note.documents for segment in snapshot.segments]
        self._bases = np.concatenate(([0], np.cumsum(counts, dtype=np.int64)))
        self._kept: dict[tuple[tuple[str, ...], ...], tuple[Array, Array]] = {}
        self._size = 0

    @cached_property
    def _norms(self) -> Array:
        lengths = [np.array(s.columns.lengths, np.float64) for s in self._snapshot.segments]
        slope = K1 * B / (self._snapshot.average_length or 1.0)
        norms: Array = K1 * (1 - B) + slope * _joined(lengths, np.float64)
        return norms

    @cached_property
    def _live(self) -> Array:
        return _joined([np.frombuffer(s.live, np.bool_) for s in self._snapshot.segments], np.bool_)

    @cached_property
    def _facets(self) -> Mapping[str, _Facet]:
        gathered: dict[str, dict[str, list[Array]]] = {}
        for segment, base in zip(self._snapshot.segments, self._bases, strict=False):
            for name, values in segment.columns.facets.items():
                docs = np.array(values.docs, np.int32) + np.int32(base)
                column = gathered.setdefault(name, {})
                for at, value in enumerate(values.names):
                    part = docs[values.starts[at] : values.starts[at + 1]]
                    column.setdefault(value, []).append(part)
        return {name: _facet(column) for name, column in gathered.items()}

    @cached_property
    def _order(self) -> Array:
        """The rank of each document's key."""
        keys = [key for segment in self._snapshot.segments for key in segment.columns.keys]
        order = np.empty(len(keys), np.int64)
        order[sorted(range(len(keys)), key=keys.__getitem__)] = np.arange(len(keys))
        return order

    def rank(self, plan: Plan) -> Result:
        """Find, rank and count."""
        allowed = self._allowed(plan)
        scores = np.zeros(len(self._live))
        result = np.zeros(len(self._live), np.bool_)
        wanted = [*plan.units, *(Unit(p.text, [Way(p.slots)]) for p in plan.phrases)]
        worth = []
        for unit in wanted:
            ids, gains = self._unit(unit)
            value = idf(self._snapshot.count, int(np.count_nonzero(self._live[ids])))
            worth.append(value)
            scores[ids] += value * (K1 + 1) * gains
            result[ids] = True
        result = result & allowed if wanted else allowed
        return Result(
            int(np.count_nonzero(result)),
            self._best(scores, result, plan.limit),
            self._count(result),
            worth[: len(plan.units)],
        )

    def _unit(self, unit: Unit) -> tuple[Array, Array]:
        """Give the documents of a unit, and how far its count in each is saturated."""
        lists = [pair for way in unit.ways if len((pair := self._way(way))[0])]
        if not lists:
            return np.empty(0, np.int32), np.empty(0)
        if len(lists) == 1:
            ids, weights = lists[0]
        else:
            ids, at = np.unique(np.concatenate([ids for ids, _ in lists]), return_inverse=True)
            weights = np.bincount(at, weights=np.concatenate([w for _, w in lists]))
        return ids, weights / (weights + self._norms[ids])

    def _way(self, way: Way) -> tuple[Array, Array]:
        pair = self._kept.get(way.slots)
        if pair is None:
            ids, weights = [], []
            for segment, base in zip(self._snapshot.segments, self._bases, strict=False):
                postings = find_way(segment, way)
                if postings.ids:
                    ids.append(np.array(postings.ids, np.int32) + np.int32(base))
                    weights.append(np.array(postings.weights, np.float64))
            pair = _joined(ids, np.int32), _joined(weights, np.float64)
            if self._size > _MOST_KEPT:
                self._kept.clear()
                self._size = 0
            self._kept[way.slots] = pair
            self._size += len(pair[0])
        return pair

    def _allowed(self, plan: Plan) -> Array:
        allowed = self._live.copy()
        for wanted in plan.filters:
            allowed &= self._passing(wanted)
        for phrase in plan.left_out:
            allowed[self._way(Way(phrase.slots))[0]] = False
        for phrase in plan.phrases:
            has = np.zeros(len(allowed), np.bool_)
            has[self._way(Way(phrase.slots))[0]] = True
            allowed &= has
        return allowed

    def _passing(self, wanted: Filter) -> Array:
        facet = self._facets.get(wanted.field)
        passes = np.full(len(self._live), NO_VALUE in wanted.any_of)
        if facet is not None:
            if NO_VALUE in wanted.any_of:
                passes[facet.docs] = False
            for value in wanted.any_of.intersection(facet.names):
                passes[facet.docs_of(value)] = True
        return passes

    def _best(self, scores: Array, result: Array, limit: int) -> list[Ranked]:
        found = np.flatnonzero(result)
        if limit <= 0:
            return []
        if len(found) > limit:
            reached = scores[found]
            least = np.partition(reached, len(reached) - limit)[len(reached) - limit]
            found = found[reached >= least]
        if len(found) > 4 * limit:
            chosen = found[np.lexsort((self._order[found], -scores[found]))][:limit]
            return [self._ranked(scores, int(n)) for n in chosen]
        segments = self._snapshot.segments
        ranked = [self._ranked(scores, int(n)) for n in found]
        ranked.sort(key=lambda r: (-r.score, segments[r.segment].columns.keys[r.number]))
        return ranked[:limit]

    def _ranked(self, scores: Array, number: int) -> Ranked:
        segment = int(np.searchsorted(self._bases, number, side="right")) - 1
        return Ranked(float(scores[number]), segment, int(number - self._bases[segment]))

    def _count(self, result: Array) -> Counts:
        counts: Counts = {}
        for name, facet in self._facets.items():
            has = result[facet.docs]
            found = np.add.reduceat(has, facet.starts[:-1], dtype=np.int32).tolist()
            counts[name] = {v: n for v, n in zip(facet.names, found, strict=True) if n}
        return counts


def _facet(column: Mapping[str, list[Array]]) -> _Facet:
    names = sorted(column)
    docs = [np.concatenate(column[name]) for name in names]
    starts = np.concatenate(([0], np.cumsum([len(d) for d in docs], dtype=np.int64)))
    return _Facet(names, np.concatenate(docs), starts)


def _joined(parts: Sequence[Array], kind: Any) -> Array:
    return np.concatenate(parts) if parts else np.empty(0, kind)
