"""The Student factor, by the finite series for whole degrees of freedom."""

from __future__ import annotations

import math


def student_factor(freedom: int, coverage: float) -> float:
    """Give the Student factor that covers what `coverage` covers of a normal distribution.

    `freedom` is at least 1. For coverage 2, that is 95.45 %, four degrees give 2.87.
    """
    wanted = math.erf(coverage / math.sqrt(2))
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _student_within(middle, freedom) < wanted else (low, middle)
    return math.sqrt(freedom) * math.tan((low + high) / 2)


def _student_within(angle: float, freedom: int) -> float:
    """Give the probability within plus or minus sqrt(freedom) tan(angle), by the finite series."""
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = freedom % 2
    term = cosine if odd else 1.0
    total = term if freedom > 1 else 0.0
    for step in range(2 + odd, freedom - 1, 2):
        term *= cosine * cosine * (step - 1) / step
        total += term
    return 2 / math.pi * (angle + sine * total) if odd else sine * total
