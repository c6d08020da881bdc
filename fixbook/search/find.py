"""Answer a request from an opened index."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from fixbook.core.query import Findings, Hit, Request
from fixbook.search.analysis import Analyser
from fixbook.search.doubt import is_weak
from fixbook.search.expand import Expansion, Unit
from fixbook.search.explain import gains
from fixbook.search.facets import sort_counts
from fixbook.search.matching import Way
from fixbook.search.parse import read_query
from fixbook.search.rank import Plan, Ranked, Result
from fixbook.search.reasons import Match, matches, snippet
from fixbook.search.snapshot import Snapshot

NEXT = 10
"""Hits beyond those asked for among which a raised one may move up."""


class Ranker(Protocol):
    """What ranks: in plain Python, or in arrays."""

    def rank(self, plan: Plan) -> Result:
        """Find, rank and count."""
        ...


def find(
    snapshot: Snapshot,
    request: Request,
    *,
    ranker: Ranker,
    analyser: Analyser,
    raised: Mapping[str, float] | None = None,
) -> Findings:
    """Answer a request; raises IndexDamagedError and nothing else, whatever is asked.

    `raised` gives, by key, the share of its own score that a document gains after the ranking, among
    the hits asked for and the next few.
    """
    query = read_query(request.words, analyser)
    expansion = Expansion(snapshot, analyser)
    units = expansion.units(query, typing=request.typing)
    limit = max(0, request.limit)
    more = NEXT if raised and limit else 0
    least = max(limit, 1) + more  # the best one says whether anything fits, even if none is shown
    result = ranker.rank(Plan(units, query.phrases, query.left_out, request.filters, least))
    told = [*units, *(Unit(f'"{p.text}"', [Way(p.slots)]) for p in query.phrases)]
    best = _raise(snapshot, result.best, raised)[:limit] if raised else result.best[:limit]
    found = [matches(snapshot.segments[r.segment], r.number, told) for r in best]
    searched = [unit.text for unit in units]
    searched += [f'"{phrase.text}"' for phrase in query.phrases]
    searched += [f'-"{p.text}"' if " " in p.text else f"-{p.text}" for p in query.left_out]
    return Findings(
        query=request.words,
        searched=" ".join(searched),
        mended=expansion.mended,
        weak=is_weak(snapshot, result, told, expansion.elsewhere.values()),
        total=result.total,
        hits=tuple(
            _hit(snapshot, ranked, there, place=request.snippets or not there)._replace(
                gains=gains(snapshot, ranked, told, result.worth) if request.explain else ()
            )
            for ranked, there in zip(best, found, strict=True)
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


def _raise(
    snapshot: Snapshot, best: Sequence[Ranked], raised: Mapping[str, float]
) -> Sequence[Ranked]:
    segments = snapshot.segments
    shares = [raised.get(segments[r.segment].columns.keys[r.number], 0.0) for r in best]
    scored = [r._replace(score=r.score * (1 + n)) for r, n in zip(best, shares, strict=True)]
    return sorted(scored, key=lambda r: -r.score)


def _hit(snapshot: Snapshot, ranked: Ranked, found: Sequence[Match], *, place: bool) -> Hit:
    segment = snapshot.segments[ranked.segment]
    record = segment.record(ranked.number)
    return Hit(
        key=record.document.key,
        shown=record.document.shown,
        score=ranked.score,
        why=tuple(f"{match.text} in {match.part}" for match in found),
        snippet=snippet(record, found, segment.columns.parts) if place else "",
    )
