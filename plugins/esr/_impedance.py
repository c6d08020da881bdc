"""Impedance of a capacitor with its series resistance and inductance, alone and in parallel."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    BELIEVE_NEITHER,
    FARADS,
    HENRIES,
    HERTZ,
    MEMORY,
    OHMS,
    PRACTICE,
    SECONDARY,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Henries,
    Hertz,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    calculator,
    show,
    within,
)

from ._curve import impedance_curve
from ._parts import capacitance_and_esr
from ._records import coefficient

Body = Literal["chip-ceramic", "radial", "snap-in"]
Coefficients = Literal["none", "up-to-16-v", "up-to-35-v", "up-to-50-v"]

# Typical series inductance in henries with what is usual; from memory. Leads come on top.
_TYPICAL_ESL: dict[str, tuple[float, str]] = {
    "chip-ceramic": (1e-9, "0.5 to 1 nH"),
    "radial": (15e-9, "5 to 20 nH"),
    "snap-in": (20e-9, "20 nH"),
}
_COEFFICIENT_VOLTS = {"up-to-16-v": 16.0, "up-to-35-v": 35.0, "up-to-50-v": 50.0}
_LARGEST = 1e12
"""Ohms; beyond it the parts resonate against each other without loss."""


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    return capacitance_and_esr(where)


@calculator(
    "impedance",
    formula="impedance = sqrt(esr^2 + (2 pi f esl - 1/(2 pi f capacitance))^2);  "
    "resonance = 1/(2 pi sqrt(esl capacitance))",
    sources=[
        Source("capacitor makers' parameter pages", SECONDARY),
        Source("typical series inductance by body", MEMORY),
        Source("ripple coefficients of a surface-mount 85 degC series sheet"),
    ],
    cautions=[BELIEVE_NEITHER],
    gives={
        "impedance": "magnitude at that frequency",
        "resonance": "where the inductance takes over",
        "resistance": "the resistive part",
        "reactance": "the reactive part: negative is capacitive, positive inductive",
    },
    fits=_fits,
)
def impedance(
    *,
    capacitance: Annotated[Farads, "series capacitance", within(1e-12, 1)],
    esr: Annotated[Ohms | None, "series resistance; left out: none", within(0, 1000)] = None,
    esl: Annotated[
        Henries | None, "series inductance; left out: typical of the family", within(0, 1e-6)
    ] = None,
    frequency: Annotated[Hertz, "where the impedance is wanted", within(1, 1e9)],
    family: Annotated[Body, "body, for a typical inductance", MEMORY] = "radial",
    coefficients: Annotated[
        Coefficients, "rated voltage of an aluminium part whose esr is that at 120 Hz"
    ] = "none",
) -> Answer:
    """What impedance has this capacitor at a frequency, and where does it resonate?

    Below resonance the part is a capacitor, at resonance its ESR alone, above it an inductor.
    The ESR is taken as the same at every frequency. For an aluminium part up to 50 V whose ESR
    is known at 120 Hz, coefficients carries it to the frequency. Leads and track add about 1 nH
    for each mm of loop (from memory).

    Example: 100 uF, 0.1 ohm, 15 nH: 13.26 ohm at 120 Hz, 0.1002 ohm at 100 kHz, 0.1363 ohm at
    1 MHz; resonance at 129.9 kHz.
    """
    assumptions = []
    if esr is None:
        esr = 0.0
        assumptions.append("esr was left out: the part is taken as one without loss")
    if esl is None:
        esl, usual = _TYPICAL_ESL[family]
        assumptions.append(f"esl taken as {show(esl, HENRIES)}, usual {usual} ({MEMORY})")
    if coefficients != "none":
        factor = coefficient(frequency, _COEFFICIENT_VOLTS[coefficients])
        assert factor is not None
        esr /= factor**2
        assumptions.append(f"esr carried from 120 Hz by 1/{factor:.4g}^2, to {show(esr, OHMS)}")
    found = series_impedance(capacitance, esr, esl, frequency)
    return Answer(
        [
            Value("impedance", abs(found), OHMS, digits=6),
            Value("resonance", 1 / (2 * math.pi * math.sqrt(esl * capacitance)), HERTZ, digits=5)
            if esl * capacitance > 0
            else Value("resonance", None, HERTZ, text="none: no inductance"),
            Value("resistance", found.real, OHMS),
            Value("reactance", found.imag, OHMS, digits=6),
        ],
        assumptions=assumptions,
        drawings=[impedance_curve(capacitance, esr, esl, frequency)],
    )


@dataclass(frozen=True, slots=True)
class ParallelPart:
    """One of the capacitors in parallel."""

    capacitance: Annotated[Farads, "series capacitance", within(1e-12, 1)]
    esr: Annotated[Ohms, "series resistance", within(0, 1000)] = 0
    esl: Annotated[Henries, "series inductance", within(0, 1e-6)] = 0


@calculator(
    "parallel-capacitors",
    formula="1/Z = sum 1/(esr + j(2 pi f esl - 1/(2 pi f capacitance)));  series_resistance = "
    "Re Z;  series_capacitance = -1/(2 pi f Im Z);  low_frequency_esr = "
    "sum(capacitance^2 esr)/(sum capacitance)^2",
    sources=[Source("alternating-current circuit theory: admittances add", PRACTICE)],
    cautions=[BELIEVE_NEITHER],
    gives={
        "impedance": "magnitude of all together at that frequency",
        "series_resistance": "series resistance of all together at that frequency",
        "series_capacitance": "series capacitance of all together at that frequency",
        "low_frequency_esr": "what the series resistance comes to far below resonance",
    },
)
def parallel_capacitors(
    parts: Annotated[tuple[ParallelPart, ...], "the capacitors in parallel, up to 10"],
    frequency: Annotated[
        Hertz, "where the impedance is wanted", within(1, 1e9), PRACTICE
    ] = 100_000,
) -> Answer:
    """What do several capacitors in parallel come to?

    Equal parts are simple: n times the capacitance, the ESR and the inductance over n. Unequal
    ones share the current by their impedances, so their ESRs combine like parallel resistors
    only where every part is already resistive. At 120 Hz the big one carries nearly all of it,
    and a small one beside it does not mend its ESR. A bulk part and a ceramic can resonate
    against each other.

    Example: 100 uF with 1 ohm and 10 uF with 0.05 ohm: 0.1567 ohm at 100 kHz, of which
    0.0687 ohm resistive; at 120 Hz 0.827 ohm resistive, and not 0.048 ohm.

        parts='capacitance=100u esr=1' parts='capacitance=10u esr=0.05' frequency=120
    """
    if not 1 <= len(parts) <= 10:
        raise CalculationError(
            f"parts are 1 to 10 capacitors, not {len(parts)}", input="parts", read=str(len(parts))
        )
    alone = [series_impedance(one.capacitance, one.esr, one.esl, frequency) for one in parts]
    total = _parallel(alone)
    angular = 2 * math.pi * frequency
    bulk = math.fsum(one.capacitance for one in parts)
    low = math.fsum((one.capacitance / bulk) ** 2 * one.esr for one in parts)
    notes = []
    if total.imag < 0:
        series = Value("series_capacitance", -1 / (angular * total.imag), FARADS)
    elif total.imag > 0:
        henries = show(total.imag / angular, HENRIES)
        series = Value("series_capacitance", None, FARADS, text=f"none: inductive, {henries}")
    else:
        series = Value("series_capacitance", None, FARADS, text="none: in resonance")
    if any(one.imag > 0 for one in alone) and any(one.imag < 0 for one in alone):
        notes.append("one part is inductive and another capacitive here: they can resonate")
    return Answer(
        [
            Value("impedance", abs(total), OHMS, digits=6),
            Value("series_resistance", total.real, OHMS, digits=6),
            series,
            Value("low_frequency_esr", low, OHMS, digits=6),
        ],
        notes=notes,
    )


def series_impedance(capacitance: float, esr: float, esl: float, frequency: float) -> complex:
    """Give the complex impedance in ohms."""
    angular = 2 * math.pi * frequency
    return complex(esr, angular * esl - 1 / (angular * capacitance))


def _parallel(alone: list[complex]) -> complex:
    if len(alone) == 1:
        return alone[0]
    if any(one == 0 for one in alone):
        return 0j
    admittance = sum((1 / one for one in alone), 0j)
    if admittance == 0 or abs(1 / admittance) > _LARGEST:
        raise CalculationError(
            "these parts resonate against each other without loss: their impedance has no bound",
            input="parts",
            hint="give each part its esr",
        )
    return 1 / admittance
