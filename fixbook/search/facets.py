"""Filter and count by facets, in plain Python."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from operator import itemgetter

from fixbook.core.query import NO_VALUE, Filter
from fixbook.search.columns import Columns

Counts = dict[str, dict[str, int]]
_BY_COUNT = itemgetter(1)


Pairs = tuple[tuple[str, int], ...]
Counted = Mapping[str, Mapping[str, int] | Pairs]
"""Columns by facet; as pairs where the most frequent values stand first already, then by name."""


def filter_mask(columns: Columns, filters: Iterable[Filter], live: bytearray) -> bytearray:
    """Give one for each document that is live and passes all filters."""
    mask = bytearray(live)
    for wanted in filters:
        passes = _passing(columns, wanted)
        mask = bytearray(a & b for a, b in zip(mask, passes, strict=True))
    return mask


def _passing(columns: Columns, wanted: Filter) -> bytearray:
    passes = bytearray(columns.documents)
    values = columns.facets.get(wanted.field)
    if values is None:
        return bytearray(b"\1") * columns.documents if NO_VALUE in wanted.any_of else passes
    if NO_VALUE in wanted.any_of:
        passes = bytearray(b"\1") * columns.documents
        for number in values.docs:
            passes[number] = 0
    for value in wanted.any_of.intersection(values.names):
        for number in values.docs_of(values.names.index(value)):
            passes[number] = 1
    return passes


def count_into(counts: Counts, columns: Columns, result: bytearray) -> None:
    """Add how many documents of a result have each value."""
    for name, values in columns.facets.items():
        column = counts.setdefault(name, {})
        has = result.__getitem__
        for number, value in enumerate(values.names):
            found = sum(map(has, values.docs_of(number)))
            if found:
                column[value] = column.get(value, 0) + found


def sort_counts(counts: Counted) -> dict[str, Pairs]:
    """Put the most frequent values first, then by name; `counts` has them by name."""
    return {
        name: column
        if isinstance(column, tuple)
        else tuple(sorted(column.items(), key=_BY_COUNT, reverse=True))
        for name, column in sorted(counts.items())
        if column
    }


def by_name(counts: Counts) -> Counts:
    """Put each column in order of its names."""
    return {name: dict(sorted(column.items())) for name, column in counts.items()}
