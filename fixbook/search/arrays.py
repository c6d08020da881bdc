"""The same ranking as `rank`, in arrays, for a program that stays open.

Every segment's documents are numbered on from the one before, so that a word costs a few array
operations however many segments there are. Imported only where it is asked for: numpy's import
costs more than a whole cold search.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np

from fixbook.core.query import NO_VALUE, Filter
from fixbook.search.expand import Unit
from fixbook.search.facets import Counted
from fixbook.search.matching import Way, find_way
from fixbook.search.packed import Packed, Spot
from fixbook.search.rank import Plan, Ranked, Result, idf
from fixbook.search.snapshot import Segment, Snapshot
from fixbook.search.weights import K1, B

Array = np.ndarray[Any, Any]
Found = tuple[Array, Array, float]
"""Documents in order, a number for each, and what the whole is worth (0 where that is not known)."""

_MOST_KEPT = 3_000_000
"""Postings kept in arrays; sixteen bytes each."""
_MOST_FILTERS = 32


class _Facet(NamedTuple):
    """A facet's values over all segments."""

    numbers: dict[str, int]
    """Its values, by name, with their numbers among those of all facets."""
    docs: Array
    """The documents of all its values, value after value."""


class _Facets:
    """All facets over all segments, their values numbered through."""

    def __init__(self, columns: Mapping[str, Mapping[str, Sequence[Array]]]) -> None:
        names = [value for column in columns.values() for value in sorted(column)]
        docs = [_joined(c[v], np.int32) for c in columns.values() for v in sorted(c)]
        self.names = np.array(names, object)
        self.docs = _joined(docs, np.int32).astype(np.intp)  # numpy looks up by these fastest
        self.starts = np.concatenate(([0], np.cumsum([len(d) for d in docs], dtype=np.int64)))
        """Where each value's documents start; one more for the end."""
        self.owners = np.repeat(np.arange(len(columns)), [len(c) for c in columns.values()])
        """The number of each value's facet."""
        self.fields: dict[str, _Facet] = {}
        at = 0
        for field, column in columns.items():
            numbers = {value: at + n for n, value in enumerate(sorted(column))}
            to = at + len(numbers)
            self.fields[field] = _Facet(numbers, self.docs[self.starts[at] : self.starts[to]])
            at = to

    def docs_of(self, number: int) -> Array:
        """Give the documents that have a value, by its number."""
        found: Array = self.docs[self.starts[number] : self.starts[number + 1]]
        return found

    def count(self, result: Array) -> Counted:
        """Give for each facet the values that a result has, the most frequent first."""
        if not len(self.docs):
            return {}
        every = np.add.reduceat(result.take(self.docs), self.starts[:-1], dtype=np.int32)
        there = np.flatnonzero(every)
        found = every[there]
        order = np.lexsort((-found, self.owners[there]))  # as they were within a facet's count
        names, numbers = self.names[there[order]].tolist(), found[order].tolist()
        ends = np.searchsorted(self.owners[there], np.arange(1, len(self.fields) + 1)).tolist()
        begins = [0, *ends[:-1]]
        return {
            field: tuple(zip(names[begin:end], numbers[begin:end], strict=True))
            for field, begin, end in zip(self.fields, begins, ends, strict=True)
            if begin < end
        }


class ArrayRanker:
    """Ranks in arrays."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        counts = [segment.note.documents for segment in snapshot.segments]
        self._bases = np.concatenate(([0], np.cumsum(counts, dtype=np.int64)))
        self._kept: dict[Hashable, Found] = {}
        """What ways and units were found to have, lately."""
        self._size = 0
        self._passed: dict[Filter, Array] = {}

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
    def _facets(self) -> _Facets:
        gathered: dict[str, dict[str, list[Array]]] = {}
        for segment, base in zip(self._snapshot.segments, self._bases, strict=False):
            for name, values in segment.columns.facets.items():
                docs = np.array(values.docs, np.int32) + np.int32(base)
                column = gathered.setdefault(name, {})
                for at, value in enumerate(values.names):
                    part = docs[values.starts[at] : values.starts[at + 1]]
                    column.setdefault(value, []).append(part)
        return _Facets(gathered)

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
            ids, gained, value = self._unit(unit)
            worth.append(value)
            scores[ids] += gained
            result[ids] = True
        result = result & allowed if wanted else allowed
        return Result(
            int(np.count_nonzero(result)),
            self._best(scores, result, plan.limit),
            self._facets.count(result),
            worth,
        )

    def _unit(self, unit: Unit) -> Found:
        """Give the documents of a unit, what it gains each of them, and what it is worth."""
        key = ("unit", *(way.slots for way in unit.ways))
        known = self._kept.get(key)
        if known is None:
            lists = [found[:2] for way in unit.ways if len((found := self._way(way))[0])]
            ids, weights = lists[0] if len(lists) == 1 else _summed(lists, len(self._live))
            value = idf(self._snapshot.count, int(np.count_nonzero(self._live[ids])))
            gained = value * (K1 + 1) * (weights / (weights + self._norms[ids]))
            known = self._keep(key, (ids, gained, value))
        return known

    def _way(self, way: Way) -> Found:
        """Give the documents that have a way, with its weight in each."""
        known = self._kept.get(way.slots)
        if known is None:
            ids, weights = [], []
            for segment, base in zip(self._snapshot.segments, self._bases, strict=False):
                some, heavy = _postings(segment, way)
                ids.append(some + base)
                weights.append(heavy)
            found = _joined(ids, np.intp), _joined(weights, np.float64), 0.0
            known = self._keep(way.slots, found)
        return known

    def _keep(self, key: Hashable, found: Found) -> Found:
        while self._size > _MOST_KEPT:
            self._size -= len(self._kept.pop(next(iter(self._kept)))[0])
        self._kept[key] = found
        self._size += len(found[0])
        return found

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
        passes = self._passed.get(wanted)
        if passes is None:
            facet = self._facets.fields.get(wanted.field)
            passes = np.full(len(self._live), NO_VALUE in wanted.any_of)
            if facet is not None:
                if NO_VALUE in wanted.any_of:
                    passes[facet.docs] = False
                for value in wanted.any_of.intersection(facet.numbers):
                    passes[self._facets.docs_of(facet.numbers[value])] = True
            if len(self._passed) >= _MOST_FILTERS:
                self._passed.clear()
            self._passed[wanted] = passes
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


def _postings(segment: Segment, way: Way) -> tuple[Array, Array]:
    """Give the documents of a way in one segment, in order, and its weight in each."""
    if len(way.slots) > 1:
        found = find_way(segment, way)
        return np.array(found.ids, np.intp), np.array(found.weights, np.float64)
    lists = [_unpacked(segment.packed, spot) for spot in segment.spots(way.slots[0])]
    return lists[0] if len(lists) == 1 else _summed(lists, segment.note.documents)


def _unpacked(packed: Packed, spot: Spot) -> tuple[Array, Array]:
    data, wide, heavy = packed.ids_and_weights(spot)
    ids = np.frombuffer(data, np.uint32 if wide == 4 else np.uint16, spot.having)
    kind = np.float64 if heavy == 8 else np.uint16
    weights = np.frombuffer(data, kind, spot.having, spot.having * wide)
    table: Array = np.frombuffer(packed.table) if heavy == 2 else weights
    return ids.astype(np.intp), table[weights] if heavy == 2 else weights


def _summed(lists: Sequence[tuple[Array, Array]], documents: int) -> tuple[Array, Array]:
    """Give the documents of any of the lists, in order; weights add up from list to list."""
    sums, there = np.zeros(documents), np.zeros(documents, np.bool_)
    for ids, weights in lists:
        sums[ids] += weights
        there[ids] = True
    found = np.flatnonzero(there)
    return found, sums[found]


def _joined(parts: Sequence[Array], kind: Any) -> Array:
    return np.concatenate(parts) if parts else np.empty(0, kind)
