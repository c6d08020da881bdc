"""Answer a request from an opened index."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from fixbook.core.query import Findings, Hit, Request
from fixbook.search.analysis import Analyser
from fixbook.search.expand import Expansion, Unit
from fixbook.search.facets import sort_counts
from fixbook.search.parse import read_query
from fixbook.search.rank import Plan, Ranked, Result
from fixbook.search.reasons import matches, snippet
from fixbook.search.snapshot import Snapshot

WEAK_SHARE = 0.45
"""A best hit with a smaller share of what the words are worth fits nothing."""


class Ranker(Protocol):
    """What ranks: in plain Python, or in arrays."""

    def rank(self, plan: Plan) -> Result:
        """Find, rank and count."""
        ...


def find(snapshot: Snapshot, request: Request, *, ranker: Ranker, analyser: Analyser) -> Findings:
    """Answer a request; raises IndexDamagedError and nothing else, whatever is asked."""
    query = read_query(request.words, analyser)
    expansion = Expansion(snapshot, analyser)
    units = expansion.units(query, typing=request.typing)
    limit = max(0, request.limit)
    result = ranker.rank(Plan(units, query.phrases, query.left_out, request.filters, limit))
    hits = [_hit(snapshot, ranked, units) for ranked in result.best]
    searched = [unit.text for unit in units]
    searched += [f'"{phrase.text}"' for phrase in query.phrases]
    searched += [f'-"{p.text}"' if " " in p.text else f"-{p.text}" for p in query.left_out]
    return Findings(
        query=request.words,
        searched=" ".join(searched),
        mended=expansion.mended,
        weak=_is_weak(units, result, [covered for _, covered in hits]),
        total=result.total,
        hits=tuple(hit for hit, _ in hits),
        facets=sort_counts(result.counts),
        notes=query.notes,
    )


def rank_keys(
    snapshot: Snapshot, request: Request, *, ranker: Ranker, analyser: Analyser
) -> list[tuple[str, float]]:
    """Give the keys and scores of a request's hits, and nothing about them."""
    query = read_query(request.words, analyser)
    units = Expansion(snapshot, analyser).units(query, typing=request.typing)
    limit = max(0, request.limit)
    result = ranker.rank(Plan(units, query.phrases, query.left_out, request.filters, limit))
    segments = snapshot.segments
    return [(segments[r.segment].columns.keys[r.number], r.score) for r in result.best]


def _hit(snapshot: Snapshot, ranked: Ranked, units: Sequence[Unit]) -> tuple[Hit, list[int]]:
    segment = snapshot.segments[ranked.segment]
    found = matches(segment, ranked.number, units)
    record = segment.record(ranked.number)
    hit = Hit(
        key=record.document.key,
        shown=record.document.shown,
        score=ranked.score,
        why=tuple(f"{match.text} in {match.part}" for match in found),
        snippet=snippet(record, found, segment.columns.parts),
    )
    return hit, [match.unit for match in found]


def _is_weak(units: Sequence[Unit], result: Result, covered: Sequence[Sequence[int]]) -> bool:
    if not result.total:
        return True
    whole = sum(result.worth)
    if not units or not whole:
        return False
    best = max((sum(result.worth[n] for n in numbers) for numbers in covered), default=whole)
    return best / whole < WEAK_SHARE
