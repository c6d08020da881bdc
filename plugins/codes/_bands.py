"""Colour bands of resistors, read from both ends."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, NamedTuple

from fixbook.api import (
    MEMORY,
    OHMS,
    RATIO,
    SECONDARY,
    Answer,
    CalculationError,
    Kind,
    Source,
    Table,
    calculator,
    did_you_mean,
)

from ._marking import E24, E96, E192, IEC_60062, NO_PROOF, is_preferred

# digit, power of ten, tolerances in per cent with what they are (current first), ppm/K
_Row = tuple[int | None, int, tuple[tuple[float, str], ...], int | None]
_OLD_AMERICAN = f"on old American parts ({MEMORY})"
# IEC 60062 clause 3, from several public tables; they differ on grey, orange and yellow
_COLOURS: dict[str, _Row] = {
    "pink": (None, -3, (), None),
    "silver": (None, -2, ((10.0, ""),), None),
    "gold": (None, -1, ((5.0, ""),), None),
    "black": (0, 0, (), 250),
    "brown": (1, 1, ((1.0, ""),), 100),
    "red": (2, 2, ((2.0, ""),), 50),
    "orange": (3, 3, ((0.05, ""), (3.0, _OLD_AMERICAN)), 15),
    "yellow": (4, 4, ((0.02, ""), (4.0, _OLD_AMERICAN)), 25),
    "green": (5, 5, ((0.5, ""),), 20),
    "blue": (6, 6, ((0.25, ""),), 10),
    "violet": (7, 7, ((0.1, ""),), 5),
    "grey": (8, 8, ((0.01, f"2016 edition ({MEMORY})"), (0.05, "older tables")), 1),
    "white": (9, 9, (), None),
}
_ALIASES = {"gray": "grey", "purple": "violet"}
_NO_BAND = ((20.0, ""),)
_PER_KELVIN = Kind("per_kelvin", "1/K", "ratio", "50 ppm", bare=None, shown="ppm")
_NOT_FIRST = ("gold", "silver", "pink")
_SERIES = {10.0: E24[::2], 20.0: E24[::4]}
"""E12 for 10 %, E6 for 20 %."""


class Reading(NamedTuple):
    """One way to read the bands."""

    resistance: float
    tolerance: float | None
    """In per cent; None for a link."""
    coefficient: int | None
    """In ppm/K; None where there is no such band."""
    note: str = ""

    @property
    def is_plausible(self) -> bool:
        """Whether the value is one of the series usually sold with that tolerance."""
        if self.tolerance is None:
            return True
        if self.tolerance in _SERIES:
            return is_preferred(self.resistance, _SERIES[self.tolerance])
        if self.tolerance >= 2:
            return is_preferred(self.resistance, E24)
        return is_preferred(self.resistance, *((E96, E24) if self.tolerance >= 1 else (E192,)))


def decode(bands: tuple[str, ...]) -> list[Reading]:
    """Give all readings of the bands, best first: plausible ones, then from the first band on."""
    if bands == ("black",):
        return [Reading(0.0, None, None, "zero-ohm link")]
    readings = [*_one_way(bands)]
    if bands[::-1] != bands:
        readings += [
            one._replace(note="; ".join(filter(None, ("read from the other end", one.note))))
            for one in _one_way(bands[::-1])
        ]
    return sorted(dict.fromkeys(readings), key=lambda one: not one.is_plausible)


def _one_way(bands: tuple[str, ...]) -> Iterator[Reading]:
    if bands[0] in (*_NOT_FIRST, "black"):
        return
    yield from _plain(bands)
    if len(bands) == 5 and bands[3] in ("gold", "silver"):
        extra = f"as four bands and an extra one for reliability or temperature, {bands[4]}"
        yield from (one._replace(note=extra) for one in _plain(bands[:4]))


def _plain(bands: tuple[str, ...]) -> Iterator[Reading]:
    count = 2 if len(bands) < 5 else 3
    digits = [_COLOURS[colour][0] for colour in bands[:count]]
    tolerances = _COLOURS[bands[count + 1]][2] if len(bands) > count + 1 else _NO_BAND
    coefficient = _COLOURS[bands[5]][3] if len(bands) == 6 else None
    if None in digits or (len(bands) == 6 and coefficient is None):
        return
    mantissa = "".join(str(digit) for digit in digits)
    resistance = float(f"{mantissa}e{_COLOURS[bands[count]][1]}")
    for tolerance, note in tolerances:
        yield Reading(resistance, tolerance, coefficient, note)


def _colours(text: str) -> tuple[str, ...]:
    words = [word for word in re.split(r"[\s,;/|-]+", text.lower()) if word]
    bands = tuple(_ALIASES.get(word, word) for word in words)
    for band in bands:
        if band not in _COLOURS:
            known = ", ".join(_COLOURS)
            hint = did_you_mean(band, _COLOURS, otherwise=f"they are {known}")
            raise CalculationError(
                f"{band} is no colour of a band; {hint}",
                input="bands",
                read=band,
                choices=list(_COLOURS),
            )
    if not 3 <= len(bands) <= 6 and bands != ("black",):
        raise CalculationError(
            f"bands are 3 to 6, or black alone, not {len(bands)}", input="bands", read=text
        )
    return bands


@calculator(
    "colour-bands",
    formula="3 bands: digit digit multiplier (20 %);  4: digit digit multiplier tolerance;  "
    "5: digit digit digit multiplier tolerance;  6: the same and temperature coefficient",
    sources=[
        IEC_60062,
        Source("IEC 60062 clause 3, scope, and the pink band of 2016"),
        Source("EIA RS-279, orange 3 % and yellow 4 % on old parts; grey 0.01 % of 2016", MEMORY),
        Source("IEC 60063, preferred number series, value table", SECONDARY),
    ],
    cautions=[NO_PROOF, "A fusible resistor is replaced by a fusible one; they look alike."],
    gives={
        "readings": "every way to read the bands, best first: resistance, tolerance either way, "
        "temperature coefficient per kelvin"
    },
)
def colour_bands(
    bands: Annotated[str, "3 to 6 colours from one end, as in brown black red gold"],
) -> Answer:
    """What do the colour bands of this resistor say, from either end?

    Both directions are decoded. One that begins with gold, silver or pink, that begins with
    black, or that has a colour without a tolerance in the tolerance's place is dropped. Values
    of the series sold with that tolerance come first. Grey is 0.05 % in most tables and 0.01 %
    in the edition of 2016; orange and yellow were 3 % and 4 % on old American parts. A
    five-band part with gold or silver in the fourth place may also be a four-band value with an
    extra band. One black band alone is a link of zero ohm.

    Brown, red and orange look alike under yellow light, and burnt bands shift towards brown and
    black. Wire-wound parts can have a wide first band. The colour of the body is no band.

    Example: yellow violet red gold is 4.7 kohm 5 %. Brown black black red brown is 10 kohm 1 %,
    or 120 ohm 1 % from the other end: measure.
    """
    colours = _colours(bands)
    readings = decode(colours)
    if not readings:
        raise CalculationError(
            f"{' '.join(colours)} can be read from neither end",
            input="bands",
            read=bands,
            hint="look again under white light, or measure it",
        )
    several = len({one.resistance for one in readings}) > 1
    return Answer(
        [
            Table(
                "readings",
                {"resistance": OHMS, "tolerance": RATIO, "coefficient": _PER_KELVIN, "note": None},
                [_row(one) for one in readings],
            )
        ],
        notes=["more than one value is possible: measure"] if several else [],
    )


def _row(one: Reading) -> dict[str, float | str | None]:
    odd = "" if one.is_plausible else "not in the series sold with that tolerance"
    return {
        "resistance": one.resistance,
        "tolerance": None if one.tolerance is None else float(f"{one.tolerance}e-2"),
        "coefficient": None if one.coefficient is None else float(f"{one.coefficient}e-6"),
        "note": "; ".join(filter(None, (one.note, odd))),
    }
