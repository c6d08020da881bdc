"""Answer a request from an opened index."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from fixbook.core.query import Findings, Hit, Request
from fixbook.search.analysis import Analyser
from fixbook.search.expand import Expansion, Unit
from fixbook.search.facets import sort_counts
from fixbook.search.matching import Way
from fixbook.search.parse import read_query
from fixbook.search.rank import Plan, Ranked, Result
from fixbook.search.reasons import Match, matches, snippet
from fixbook.search.snapshot import Snapshot
from fixbook.search.weights import (
    BODY_CREDIT,
    MENDED_CREDIT,
    OTHER_WEIGHT,
    PART_WEIGHTS,
    TELLING_WEIGHT,
    WEAK_SHARE,
)

_LOOKED_AT = 10
"""So many of the best hits are looked at to say whether anything fits, however few are shown."""


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
    looked_at = max(limit, _LOOKED_AT)
    result = ranker.rank(Plan(units, query.phrases, query.left_out, request.filters, looked_at))
    told = [*units, *(Unit(f'"{p.text}"', [Way(p.slots)]) for p in query.phrases)]
    found = [matches(snapshot.segments[r.segment], r.number, told) for r in result.best]
    searched = [unit.text for unit in units]
    searched += [f'"{phrase.text}"' for phrase in query.phrases]
    searched += [f'-"{p.text}"' if " " in p.text else f"-{p.text}" for p in query.left_out]
    return Findings(
        query=request.words,
        searched=" ".join(searched),
        mended=expansion.mended,
        weak=_is_weak(units, result, found[:_LOOKED_AT]),
        total=result.total,
        hits=tuple(
            _hit(snapshot, ranked, there)
            for ranked, there in zip(result.best[:limit], found, strict=False)
        ),
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


def _hit(snapshot: Snapshot, ranked: Ranked, found: Sequence[Match]) -> Hit:
    segment = snapshot.segments[ranked.segment]
    record = segment.record(ranked.number)
    return Hit(
        key=record.document.key,
        shown=record.document.shown,
        score=ranked.score,
        why=tuple(f"{match.text} in {match.part}" for match in found),
        snippet=snippet(record, found, segment.columns.parts),
    )


def _is_weak(units: Sequence[Unit], result: Result, found: Sequence[Sequence[Match]]) -> bool:
    """Say whether even the best hit has but a small share of what the words are worth."""
    if not result.total:
        return True
    whole = sum(result.worth)
    if not units or not whole:
        return False
    shares = (
        sum(result.worth[m.unit] * _credit(units[m.unit], m) for m in one if m.unit < len(units))
        for one in found
    )
    return max(shares, default=whole) / whole < WEAK_SHARE


def _credit(unit: Unit, match: Match) -> float:
    telling = PART_WEIGHTS.get(match.part, OTHER_WEIGHT) >= TELLING_WEIGHT
    return (1.0 if telling else BODY_CREDIT) * (MENDED_CREDIT if unit.is_mended else 1.0)
