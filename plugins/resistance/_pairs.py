"""A value made of two from the drawer."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Literal, NamedTuple

from fixbook.api import (
    ARITHMETIC,
    FARADS,
    HENRIES,
    NUMBER,
    OHMS,
    RATIO,
    SECONDARY,
    Answer,
    CalculationError,
    Count,
    Entry,
    FixbookError,
    Measured,
    Part,
    Source,
    Table,
    Target,
    calculator,
    read,
    show,
    within,
)

from ._series import SOLD_WITH, SeriesName, values
from ._unusable import unusable

_BALANCE = (
    "Two capacitors in series do not add their voltage ratings safely without balancing resistors."
)
_LEAST, _MOST = 1e-15, 1e12
_SPAN = 1000.0
"""Values from a thousandth of the target to a thousand times it are tried."""
_EDGE = 1 - 1e-9
_KINDS = {"R": OHMS, "C": FARADS, "L": HENRIES}

Topology = Literal["any", "series", "parallel"]


class Pair(NamedTuple):
    """Two values with what they make together; `first` is the smaller one."""

    topology: str
    first: float
    second: float
    result: float
    adds: bool
    """Whether the values add, or their reciprocals do."""
    error: float

    @property
    def weights(self) -> tuple[float, float]:
        """How much a relative change of each value changes the result, relatively."""
        share = self.first / (self.first + self.second)
        return (share, 1 - share) if self.adds else (1 - share, share)


def best_pairs(
    target: float, pool: Sequence[float], topologies: Mapping[str, bool], count: int
) -> list[Pair]:
    """Give the `count` best pairs of a rising pool of values, as trying all pairs would.

    `topologies` says of each whether the values add there. For one value of the pool the error
    only grows away from its ideal partner. So the closest partners give `count` pairs, and no
    pair with a larger error than theirs needs a look.
    """
    closest = sorted({abs(one.error) for one in _pairs(target, pool, topologies, 1, math.inf)})
    limit = closest[count - 1] + 1e-11 if len(closest) >= count else math.inf
    found = {pair[:3]: pair for pair in _pairs(target, pool, topologies, count, limit)}
    return sorted(found.values(), key=_rank)[:count]


def _pairs(
    target: float, pool: Sequence[float], topologies: Mapping[str, bool], reach: int, limit: float
) -> Iterator[Pair]:
    """Give each value with up to `reach` partners to either side of the ideal one.

    Pairs whose error is above `limit` are left out; some come twice.
    """
    for topology, adds in topologies.items():
        for first in pool:
            at = bisect_left(pool, _ideal(target, first, adds=adds))
            for side in (pool[at : at + reach], pool[max(0, at - reach) : at][::-1]):
                for second in side:
                    pair = _pair(target, topology, first, second, adds=adds)
                    if abs(pair.error) > limit:
                        break
                    yield pair


def _ideal(target: float, first: float, *, adds: bool) -> float:
    """Give the partner that would make the target exactly; maybe below zero, or infinite."""
    if adds:
        return target - first
    return target * (first / (first - target)) if first > target else math.inf


def _pair(target: float, topology: str, one: float, other: float, *, adds: bool) -> Pair:
    first, second = min(one, other), max(one, other)
    result = first + second if adds else first / (1 + first / second)
    return Pair(topology, first, second, result, adds, result / target - 1)


def _rank(pair: Pair) -> tuple[float, int, bool, float, str, float]:
    size = round(abs(pair.error), 12)
    distinct = 1 if pair.first == pair.second else 2
    too_high = size > 0 and pair.error > 0  # of two equal errors the low one comes first
    return size, distinct, too_high, -min(pair.weights), pair.topology, pair.first


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Offer to make up the value of a resistor that is not in the drawer."""
    if not isinstance(where, Part) or "resistor" not in where.is_.lower():
        return None
    try:
        value = read(where.value, OHMS).value
    except FixbookError:
        return None
    return {"target": where.value, "kind": "R"} if 1e-6 <= value <= 1e12 else None


@calculator(
    "value-pair",
    formula="resistors and inductors: series a + b, parallel a b/(a + b);  capacitors the other "
    "way round;  error = result/target - 1",
    sources=[
        Source("all pairs of the series tried", ARITHMETIC),
        Source("IEC 60063, preferred number series, value table", SECONDARY),
        Source("tolerance usually sold with a series", SECONDARY),
    ],
    gives={
        "pairs": "the best pairs, closest first, with what they make and its error; worst and "
        "rss: worst-case and statistical tolerance; first_share: of the power (resistors) or of "
        "the voltage (capacitors in series) that the first part takes"
    },
    fits=_fits,
)
def value_pair(
    target: Annotated[Measured, "wanted resistance, capacitance or inductance"],
    kind: Annotated[
        Literal["R", "C", "L"] | None, "by the unit of the target; R where it has none"
    ] = None,
    series: Annotated[SeriesName, "what the drawer holds"] = "E12",
    topology: Annotated[Topology, "how the two may be joined"] = "any",
    count: Annotated[Count, "how many pairs to list", within(1, 50)] = 5,
    stock: Annotated[tuple[Measured, ...], "values at hand, instead of a series"] = (),
) -> Answer:
    """Which two values from the drawer make this odd one?

    Every pair of the series from a thousandth of the target to a thousand times it is tried,
    or every pair of the stock, where two of one value are taken to be there. The closest comes
    first; of equal ones that with a single value, then that which is low rather than high, then
    that whose parts share the work best.

    Check the power of each resistor. Series capacitors need balancing when used near their
    voltage; electrolytics in series are for experts.

    Example: 525 ohm from E12: 560 ohm and 8.2 kohm in parallel make 524.2 ohm, 0.15 % low.
    """
    what, assumptions = _kind_of(target, kind)
    pool = _pool(target, what, series, stock)
    tolerance = None if stock else SOLD_WITH.get(series)
    if tolerance is not None:
        sold = f"{tolerance * 100:g} %, the tolerance usually sold with {series} ({SECONDARY})"
        assumptions.append(f"both parts taken as {sold}")
    capacitors = what == "C"
    ways = {"series": not capacitors, "parallel": capacitors}
    wanted = {name: adds for name, adds in ways.items() if topology in ("any", name)}
    pairs = best_pairs(target.value, pool, wanted, int(count))
    in_series = capacitors and any(pair.topology == "series" for pair in pairs)
    unit = target.kind if target.kind != NUMBER else _KINDS[what]
    return Answer(
        [
            Table(
                "pairs",
                {
                    "topology": None,
                    "first": unit,
                    "second": unit,
                    "result": unit,
                    "error": RATIO,
                    "worst": RATIO,
                    "rss": RATIO,
                    "first_share": RATIO,
                },
                [_row(pair, what, tolerance) for pair in pairs],
            )
        ],
        assumptions=assumptions,
        notes=[_share_note(what)] if any(_share(pair, what) is not None for pair in pairs) else [],
        cautions=[_BALANCE] if in_series else [],
    )


def _kind_of(target: Measured, kind: str | None) -> tuple[str, list[str]]:
    """Give R, C or L, from what was said or from the unit; CalculationError where they differ."""
    by_unit = {known.unit: letter for letter, known in _KINDS.items()}
    letter = by_unit.get(target.kind.unit)
    if target.kind == NUMBER and kind == "C":
        raise CalculationError(
            "target is a capacitance and needs its unit",
            input="target",
            read=show(target.value, target.kind),
            choices=["pF", "nF", "uF"],
        )
    if (letter is None and target.kind != NUMBER) or kind not in (None, letter or kind):
        named = {"R": "a resistance", "C": "a capacitance", "L": "an inductance"}
        wanted = named[kind] if kind else "a resistance, a capacitance or an inductance"
        raise unusable("target", target, wanted)
    if target.value <= 0:
        raise unusable("target", target, "above zero")
    if kind is None and letter is None:
        return "R", ["kind taken as R, since the target has no unit"]
    return letter or kind or "R", []


def _pool(target: Measured, what: str, series: str, stock: tuple[Measured, ...]) -> list[float]:
    if not _LEAST <= target.value <= _MOST:
        raise unusable("target", target, "from 1e-15 to 1e12")
    if not stock:
        return values(series, target.value / _SPAN * _EDGE, target.value * _SPAN / _EDGE)
    for one in stock:
        if one.kind.unit not in ("", _KINDS[what].unit) or not _LEAST <= one.value <= _MOST:
            raise unusable("stock", one, f"a value in {_KINDS[what].unit}, from 1e-15 to 1e12")
        if one.kind == NUMBER and what == "C":
            raise unusable("stock", one, "a capacitance with its unit")
    return sorted({one.value for one in stock})


def _row(pair: Pair, what: str, tolerance: float | None) -> dict[str, float | str | None]:
    weights = pair.weights
    return {
        "topology": pair.topology,
        "first": pair.first,
        "second": pair.second,
        "result": pair.result,
        "error": pair.error,
        "worst": tolerance,  # with one tolerance for both it carries over, whatever the weights
        "rss": None if tolerance is None else tolerance * math.hypot(*weights),
        "first_share": _share(pair, what),
    }


def _share(pair: Pair, what: str) -> float | None:
    """Give the first part's share of the power, or of the voltage of capacitors in series."""
    if what == "R" or (what == "C" and pair.topology == "series"):
        return pair.weights[0]
    return None


def _share_note(what: str) -> str:
    taken = "power" if what == "R" else "voltage of the two in series"
    return f"first_share is the part of the {taken} that the first one takes"
