"""Several resistors, capacitors or inductors in series or in parallel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from fixbook.api import (
    ARITHMETIC,
    FARADS,
    HENRIES,
    OHMS,
    RATIO,
    Answer,
    CalculationError,
    Kind,
    QuantityError,
    Source,
    Value,
    calculator,
    read,
    show,
)

_KINDS: dict[str, Kind] = {"R": OHMS, "C": FARADS, "L": HENRIES}
_FEWEST, _MOST = 2, 20


@calculator(
    "network",
    formula=(
        "R and L in series, C in parallel: sum; R and L in parallel, C in series: "
        "1/(1/a + 1/b + ...)"
    ),
    sources=[Source("Kirchhoff's laws; inductors without coupling", ARITHMETIC)],
    gives={"total": "what the whole is like"},
)
def network(
    values: Annotated[tuple[str, ...], "two to twenty values, as 100 ohm; 220 ohm"],
    kind: Annotated[Literal["R", "C", "L"], "resistors, capacitors or inductors"] = "R",
    *,
    topology: Annotated[Literal["series", "parallel"], "how they are connected"],
) -> Answer:
    """What do these parts make together, in series or in parallel?

    Resistors and inductors add in series, capacitors in parallel; the other way round the
    reciprocals add. The notes give each part's share of the voltage in series, of the current in
    parallel. Capacitors in series on DC share by their leakage instead, unless resistors
    balance them. Inductors are taken as far apart, without coupling.

    Example: 100, 220 and 470 ohm make 790 ohm in series and 59.98 ohm in parallel.
    """
    unit = _KINDS[kind]
    if not _FEWEST <= len(values) <= _MOST:
        raise CalculationError(
            f"values has {len(values)} in it; give {_FEWEST} to {_MOST}, parted by semicolons",
            input="values",
            read="; ".join(values)[:40],
        )
    numbers, assumptions = _read_all(values, kind, unit)
    adds = (topology == "series") != (kind == "C")
    total = sum(numbers) if adds else 1 / sum(1 / one for one in numbers)
    shares = [one / total if adds else total / one for one in numbers]
    what = "voltage" if topology == "series" else "current"
    parts = ", ".join(
        f"{show(one, unit)} {show(share, RATIO, digits=3)}"
        for one, share in zip(numbers, shares, strict=True)
    )
    notes = [f"Share of the {what}: {parts}."]
    if kind == "C" and topology == "series":
        notes.append("On DC leakage decides the shares, unless resistors balance them.")
    return Answer([Value("total", total, unit, digits=5)], assumptions=assumptions, notes=notes)


def _read_all(values: Sequence[str], kind: str, unit: Kind) -> tuple[list[float], list[str]]:
    numbers, notes = [], []
    for text in values:
        try:
            found = read(text, unit, name="values")
        except QuantityError as error:
            other = next((one for one in _KINDS if one != kind and _reads(text, one)), None)
            if other is None:
                raise
            raise CalculationError(
                f"{text} is no {unit.word}; with kind={other} it is a {_KINDS[other].word}",
                input="kind",
                read=kind,
                choices=[other],
            ) from error
        # reciprocals of smaller or larger numbers are no longer finite
        if not 1e-18 <= found.value <= 1e18:
            raise CalculationError(
                f"{text} in values is outside what is valid: above 0, and of a size that parts have",
                input="values",
                read=text,
            )
        numbers.append(found.value)
        notes += [f"values: {note}" for note in found.notes]
    return numbers, list(dict.fromkeys(notes))


def _reads(text: str, kind: str) -> bool:
    try:
        read(text, _KINDS[kind])
    except QuantityError:
        return False
    return True
