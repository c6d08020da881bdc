"""The sums of narrowing, on plain numbers: what is believed, and what a check would tell.

Probabilities are floats that add up to one; information is in bits (Shannon 1948). A row gives
the chance of one answer under each hypothesis. Nothing here knows of faults, signs or books.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from operator import mul

Row = Sequence[float]


def shares(weights: Sequence[float]) -> tuple[float, ...]:
    """Scale weights so that they add up to one; ValueError where none is above zero.

    >>> shares([4, 2, 2])
    (0.5, 0.25, 0.25)
    """
    whole = math.fsum(weights)
    if not whole > 0 or not math.isfinite(whole) or min(weights) < 0:
        raise ValueError(f"weights must be 0 or more, and one above 0: {weights!r}")
    return tuple(weight / whole for weight in weights)


def expected_rates(
    book: Mapping[str, float], counted: Mapping[str, int], strength: float
) -> dict[str, float]:
    """Give the rates to expect after counting, by Dirichlet belief about the book's rates.

    (strength x rate + count) / (strength + all counts); `strength` says for how many counted
    cases the book's rates stand.

    >>> expected_rates({"yes": 0.5, "no": 0.5}, {"yes": 10, "no": 2}, 2)
    {'yes': 0.7857142857142857, 'no': 0.21428571428571427}
    """
    whole = strength + sum(counted.get(name, 0) for name in book)
    return {name: (strength * rate + counted.get(name, 0)) / whole for name, rate in book.items()}


def posterior(prior: Row, rows: Iterable[Row]) -> tuple[float, ...]:
    """Give the belief after independent answers; each row is the chance of one of them.

    Added up in logarithms, so that no number of answers runs out of digits. ValueError where no
    hypothesis allows the answers.

    >>> [round(one, 6) for one in posterior([0.5, 0.5], [[0.9, 0.1]])]
    [0.9, 0.1]
    """
    chosen = list(rows)
    logs = [
        math.fsum([math.log(before), *map(math.log, chances)])
        if before > 0 and all(chance > 0 for chance in chances)
        else -math.inf
        for before, *chances in zip(prior, *chosen, strict=True)
    ]
    highest = max(logs)
    if highest == -math.inf:
        raise ValueError("no hypothesis allows these answers")
    return shares([math.exp(one - highest) for one in logs])


def entropy(chances: Iterable[float]) -> float:
    """Give how much is not known, in bits.

    >>> entropy([0.5, 0.25, 0.125, 0.125])
    1.75
    """
    return max(0.0, -math.fsum(one * math.log2(one) for one in chances if one > 0))


def doubts(rows: Sequence[Row]) -> tuple[float, ...]:
    """Give, under each hypothesis, the entropy of a check's answers; `rows` is one an answer."""
    return tuple(entropy(chances) for chances in zip(*rows, strict=True))


def chance(belief: Row, row: Row) -> float:
    """Give the chance of an answer as things are believed now."""
    whole: float = sum(map(mul, belief, row))
    return whole


def information(belief: Row, rows: Sequence[Row], doubt: Row | None = None) -> float:
    """Give what a check is expected to tell about the hypotheses, in bits.

    H(answer) - sum of P(hypothesis) H(answer | hypothesis), which equals the entropy of the
    belief less its expected entropy afterwards and costs one pass. `doubt`, where it is known
    already, is `doubts(rows)`.

    >>> round(information([0.5, 0.3, 0.2], [[0.9, 0.2, 0.2], [0.1, 0.8, 0.8]]), 6)
    0.397313
    """
    if doubt is None:
        doubt = doubts(rows)
    if len(rows) == 2:  # by far the most checks, and by far the most calls
        answers = _entropy_of_two(sum(map(mul, belief, rows[0])))
    else:
        answers = entropy([chance(belief, row) for row in rows])
    return max(0.0, answers - chance(belief, doubt))


def _entropy_of_two(one: float) -> float:
    other = 1.0 - one
    if one <= 0.0 or other <= 0.0:
        return 0.0
    return -one * math.log2(one) - other * math.log2(other)


def quickest_order(chances: Sequence[float], minutes: Sequence[float]) -> list[int]:
    """Give the order in which to try things until one is right, in the least expected time.

    By chance per minute, the highest first: the ratio rule, exact where each trial is conclusive.

    >>> quickest_order([0.5, 0.3, 0.2], [20, 5, 2])
    [2, 1, 0]
    """
    return sorted(range(len(chances)), key=lambda at: (-chances[at] / minutes[at], at))


def expected_minutes(
    order: Iterable[int], chances: Sequence[float], minutes: Sequence[float]
) -> float:
    """Give the expected time until the right one is found, trying in this order.

    >>> expected_minutes([2, 1, 0], [0.5, 0.3, 0.2], [20, 5, 2])
    16.0
    """
    spent, expected = 0.0, []
    for at in order:
        spent += minutes[at]
        expected.append(chances[at] * spent)
    return math.fsum(expected)
