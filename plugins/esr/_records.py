"""Limits of general-purpose aluminium parts, as their makers' series sheets state them.

A record gives the highest tan delta at 120 Hz and 20 degC for each rated voltage. Ripple
coefficients of a surface-mount sheet carry an ESR limit from 120 Hz to other frequencies.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from fixbook.api import CalculationError

RecordName = Literal["radial-105", "radial-85", "smd-85", "snap-in"]

SHEET_HZ = 120.0
"""The frequency of the tan delta figures."""


@dataclass(frozen=True, slots=True)
class Record:
    """What one series sheet states."""

    source: str
    tan_delta: Mapping[float, float]
    """Highest tan delta by rated volts; empty where the sheet gives ESR limits instead."""
    extra_per_1000_uf: float
    """Added for each whole 1000 uF above the first."""
    end_of_life: float
    """Times the specified limit, at the end of endurance or of useful life."""


_VOLTS = (6.3, 10, 16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400, 450)
_RADIAL_105 = (0.23, 0.20, 0.16, 0.14, 0.12, 0.10, 0.09, 0.08, 0.12, 0.14, 0.17, 0.20, 0.25, 0.25)
_RADIAL_85 = (0.22, 0.19, 0.16, 0.14, 0.12, 0.10, 0.09, 0.08, 0.16, 0.18, 0.18, 0.20, 0.20, 0.20)
_SMD_85 = (0.28, 0.24, 0.20, 0.14, 0.12, 0.10)


def _row(values: tuple[float, ...]) -> dict[float, float]:
    return dict(zip(_VOLTS[: len(values)], values, strict=True))


# Four makers' series sheets, all seen; the last cites IEC 60384-4, 4.13 for its end of life.
RECORDS: dict[str, Record] = {
    "radial-105": Record(
        "series sheet of one maker, radial 105 degC", _row(_RADIAL_105), 0.02, 2.0
    ),
    "radial-85": Record(
        "series sheet of a second maker, radial 85 degC", _row(_RADIAL_85), 0.02, 1.5
    ),
    "smd-85": Record(
        "series sheet of a third maker, surface-mount 85 degC", _row(_SMD_85), 0.0, 2.0
    ),
    "snap-in": Record("series sheet of a fourth maker, snap-in long life", {}, 0.0, 3.0),
}

# Coefficients of permissible ripple, one maker's surface-mount 85 degC series sheet.
# Rated volts up to which the row holds: (Hz, factor) rising.
COEFFICIENTS: dict[float, tuple[tuple[float, float], ...]] = {
    16.0: ((50, 0.8), (120, 1.0), (1_000, 1.15), (10_000, 1.25)),
    35.0: ((50, 0.8), (120, 1.0), (1_000, 1.25), (10_000, 1.40)),
    50.0: ((50, 0.8), (120, 1.0), (1_000, 1.35), (10_000, 1.50)),
}


HIGHEST_WITH_COEFFICIENTS = max(COEFFICIENTS)
"""Rated volts above which no sheet with coefficients was seen."""


def coefficient(frequency: float, rated_voltage: float) -> float | None:
    """Give the ripple coefficient F against 120 Hz; None above 50 V, where no sheet was seen.

    Between two frequencies of the sheet it is linear in the logarithm of the frequency; beyond
    both ends it stays. Between two rows the row of the higher voltage is taken: its limit is
    the lower one.
    """
    row = next((row for volts, row in COEFFICIENTS.items() if rated_voltage <= volts), None)
    if row is None:
        return None
    place = bisect_left(row, (frequency,))
    if place == 0 or place == len(row):
        return row[min(place, len(row) - 1)][1]
    (low, below), (high, over) = row[place - 1], row[place]
    return below + (over - below) * math.log(frequency / low) / math.log(high / low)


def esr_of(tan_delta: float, frequency: float, capacitance: float) -> float:
    """Give the series resistance in ohms."""
    return tan_delta / (2 * math.pi * frequency * capacitance)


@dataclass(frozen=True, slots=True)
class Limits:
    """The highest values of a new part."""

    tan_delta: float
    esr: float
    """Ohms at 120 Hz."""
    esr_at_frequency: float | None
    """Ohms at the frequency asked for; None where nothing leads there."""
    assumptions: tuple[str, ...]


def new_part_limits(
    record: str, capacitance: float, rated_voltage: float, frequency: float
) -> Limits:
    """Give the limits of a new part; CalculationError where the record has none for it."""
    tan_delta, assumptions = _tan_delta(record, capacitance, rated_voltage)
    esr = esr_of(tan_delta, SHEET_HZ, capacitance)
    if frequency == SHEET_HZ:
        return Limits(tan_delta, esr, esr, tuple(assumptions))
    factor = coefficient(frequency, rated_voltage)
    if factor is None:
        return Limits(tan_delta, esr, None, tuple(assumptions))
    assumptions.append(
        f"limit carried from 120 Hz by 1/{factor:.4g}^2, from the ripple coefficients of a "
        "surface-mount series (inferred: equal heating)"
    )
    return Limits(tan_delta, esr, esr / factor**2, tuple(assumptions))


def _tan_delta(record: str, capacitance: float, rated_voltage: float) -> tuple[float, list[str]]:
    sheet = RECORDS[record]
    if not sheet.tan_delta:
        raise CalculationError(
            f"the record {record} has no tan delta limits: such a sheet states ESR limits",
            input="record",
            read=record,
            hint="give sheet_limit to esr-limit, or take another record",
            choices=[name for name, one in RECORDS.items() if one.tan_delta],
        )
    columns = sorted(sheet.tan_delta)
    if rated_voltage > columns[-1]:
        raise CalculationError(
            f"the record {record} ends at {columns[-1]:g} V, below {rated_voltage:g} V",
            input="rated_voltage",
            read=f"{rated_voltage:g} V",
            hint="take record=radial-105 or radial-85",
            choices=["record=radial-105", "record=radial-85"],
        )
    found, assumptions = _column(sheet.tan_delta, columns, rated_voltage)
    steps = _thousands(capacitance)
    if steps and sheet.extra_per_1000_uf:
        found += sheet.extra_per_1000_uf * steps
        assumptions.append(
            f"{sheet.extra_per_1000_uf:g} added for each whole 1000 uF above the first, here "
            f"{steps} (whole steps: from memory, confirm; the stricter reading)"
        )
    return found, assumptions


def _column(
    row: Mapping[float, float], columns: list[float], rated_voltage: float
) -> tuple[float, list[str]]:
    if rated_voltage in row:
        return row[rated_voltage], []
    place = bisect_left(columns, rated_voltage)
    near = columns[max(place - 1, 0) : place + 1]
    best = min(near, key=row.__getitem__)
    return row[best], [f"{rated_voltage:g} V is no column of the record: that of {best:g} V taken"]


def _thousands(capacitance: float) -> int:
    """Give the whole steps of 1000 uF above the first; rounding keeps 2000 uF at one."""
    return max(0, math.floor(round(capacitance * 1e3, 9)) - 1)
