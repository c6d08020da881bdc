"""The facts of a drawing as sentences: what is read where nobody can look at it."""

from __future__ import annotations

from fixbook.core.quantity import KINDS, NUMBER, Kind, show
from fixbook.core.sheet import BarsBlock, Block, CurveBlock, ScaleBlock

TOLD = 7
"""So many points of a curve are told, the first and the last among them."""


def facts(block: Block) -> list[str]:
    """Give what a drawing shows, a sentence a line; nothing for a block that is no drawing."""
    if isinstance(block, ScaleBlock):
        return _scale(block)
    if isinstance(block, CurveBlock):
        return _curves(block)
    if isinstance(block, BarsBlock):
        return [f"{name}: {share_words(share, low, high)}" for name, share, low, high in block.bars]
    return []


def kind_of(name: str) -> Kind:
    """Give the kind of a name; a bare number where there is none of that name."""
    return KINDS.get(name, NUMBER)


def per_cent(share: float) -> str:
    """Write a share as a person reads it: `8 %`, `0.4 %`, `less than 0.1 %`."""
    whole = share * 100
    if 0 < whole < 0.1:
        return "less than 0.1 %"
    return f"{whole:.1f} %" if 0 < whole < 1 else f"{whole:.0f} %"


def share_words(share: float, low: float | None, high: float | None) -> str:
    """Write a share with the interval it has."""
    if low is None or high is None:
        return per_cent(share)
    return f"{per_cent(share)} ({per_cent(low)} to {per_cent(high)})"


def told_points(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """Give a few points of a curve, evenly chosen."""
    last = len(points) - 1
    if last < TOLD:
        return list(points)
    return [points[round(at * last / (TOLD - 1))] for at in range(TOLD)]


def _scale(block: ScaleBlock) -> list[str]:
    kind = kind_of(block.quantity)
    told = [f"window: {words}" for _, _, words in block.windows if words]
    for name, value, band in block.readings:
        guard = f", guard band {show(band, kind)}" if band else ""
        told.append(f"{name}: {show(value, kind, digits=6)}{guard}")
    if block.steps:
        told.append(f"set: {', then '.join(show(step, kind) for step in block.steps)}")
    return told


def _curves(block: CurveBlock) -> list[str]:
    x, y = kind_of(block.x[1]), kind_of(block.y[1])
    told = []
    for name, points in block.curves:
        pairs = [f"{show(b, y)} at {show(a, x)}" for a, b in told_points(points)]
        told.append(f"{name}: {', '.join(pairs)}")
    told += [f"{name}: {show(b, y)} at {show(a, x)}" for name, a, b in block.marks]
    return told
