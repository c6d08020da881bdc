"""Ripple of a reservoir capacitor behind a mains rectifier."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Literal

from fixbook.api import (
    BELIEVE_NEITHER,
    FARADS,
    MEMORY,
    PRACTICE,
    PROVE_DEAD,
    VOLTS,
    Amps,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Hertz,
    Part,
    Source,
    Target,
    Value,
    Verdict,
    Volts,
    above,
    calculator,
    show,
    within,
)

from ._parts import capacitance_of, highest_of

PASS_RATIO, MARGINAL_RATIO = 1.1, 1.5
"""Measured ripple over the expected one. Common practice, no source."""
_AT_RECTIFIER = ("unregulated", "reservoir", "rectifier", "first filter")
_NEEDS_PEAK = "give the peak voltage for this"
_NEEDS_CAPACITANCE = "give the capacitance for this"


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if isinstance(where, Part):
        capacitance = capacitance_of(where)
        in_place = "reservoir" in where.is_.lower() or entry.unit == "linear-supply"
        return {"capacitance": capacitance} if capacitance and in_place else None
    words = f"{where.name} {where.at}".lower()
    if where.reads != "peak-to-peak" or "ripple" not in where.name.lower():
        return None
    highest = highest_of(where)
    placed = any(word in words for word in _AT_RECTIFIER)
    return {"wanted_ripple": highest} if highest and placed else None


@calculator(
    "reservoir-ripple",
    formula=(
        "dV <= I/(n f C), n = 2 for full wave, 1 for half wave, f the mains frequency; with the "
        "peak Vp: dV = I (1/(n f) - tc)/C and tc = arccos(1 - dV/Vp)/(2 pi f); "
        "rms = dV/(2 sqrt 3); mean = Vp - dV/2; C = I/(n f dV)"
    ),
    sources=[
        Source("Horowitz and Hill, The Art of Electronics, 3rd edition, section 1.6", MEMORY),
        Source("Sedra and Smith, Microelectronic Circuits, chapter on rectifiers", MEMORY),
        Source("pass up to 1.1 times the expected ripple, fail above 1.5 times", PRACTICE),
    ],
    cautions=[PROVE_DEAD, BELIEVE_NEITHER],
    gives={
        "ripple_bound": "highest ripple to expect, peak to peak, if the load is right",
        "ripple": "ripple peak to peak with the time of charging taken off; needs the peak",
        "rms": "what a true-rms meter on AC shows of it, taken as a triangle",
        "mean": "mean voltage across the capacitor; needs the peak",
        "capacitance_needed": "capacitance that holds the wanted ripple by the upper bound",
    },
    fits=_fits,
)
def reservoir_ripple(
    load: Annotated[Amps, "direct current drawn by the load", within(1e-3, 100)],
    capacitance: Annotated[
        Farads | None, "capacitance of the reservoir capacitor", within(1e-6, 1)
    ] = None,
    mains: Annotated[Hertz, "mains frequency, not ripple frequency", within(16, 400)] = 50,
    rectifier: Annotated[
        Literal["full", "half"], "full wave (bridge or two diodes) or half wave"
    ] = "full",
    peak: Annotated[
        Volts | None, "peak voltage across the capacitor, under load", above(0, 20_000)
    ] = None,
    measured: Annotated[Volts | None, "measured ripple, peak to peak", within(0, 20_000)] = None,
    wanted_ripple: Annotated[
        Volts | None, "ripple wanted, peak to peak, to find the capacitance", above(0, 20_000)
    ] = None,
) -> Answer:
    """Is this much ripple normal for this capacitor and load?

    The simple rule is an upper bound: it lets the capacitor supply the load for the whole time
    between two peaks. It is 15 to 18 % high in common supplies, and more where the transformer
    and the diodes have much resistance, which it ignores. With the peak voltage the time of
    charging is taken off, and a measured ripple is judged against that closer figure.

    A measured ripple up to 1.1 times the expected one passes, up to 1.5 times it is marginal,
    above that it fails. A regulator draws constant current, a resistor less as the voltage
    falls, a switching load more. Measure with a scope, or multiply an rms reading by 3.46.

    Example: 1 A from 4700 uF at 50 Hz, full wave: at most 2.13 V; with a peak of 17 V, 1.81 V.
    """
    _refuse_unusable(capacitance, peak, measured, wanted_ripple)
    pulses = (2 if rectifier == "full" else 1) * mains
    bound = load / (pulses * capacitance) if capacitance else None
    closer = _refined(load, capacitance, mains, pulses, peak) if capacitance and peak else None
    emptied = closer is None and bound is not None and peak is not None
    ripple = peak if emptied else closer
    best = bound if ripple is None else ripple
    needed = load / (pulses * wanted_ripple) if wanted_ripple else None
    values = [
        Value("ripple_bound", bound, VOLTS, text="" if bound else _NEEDS_CAPACITANCE),
        Value("ripple", ripple, VOLTS, text=_missing(ripple, peak)),
        Value("rms", best and best / math.sqrt(12), VOLTS, text="" if best else _NEEDS_CAPACITANCE),
        Value("mean", peak - ripple / 2 if peak and ripple else None, VOLTS,
              text=_missing(ripple, peak)),
        Value("capacitance_needed", needed, FARADS,
              text="" if needed else "give the wanted ripple for this"),
    ]  # fmt: skip
    notes = [f"The ripple is at {pulses:g} Hz if all diodes conduct."] if bound else []
    if emptied:
        notes.append(
            "The capacitor empties between two peaks: it is far too small for this load, and the "
            "ripple is the whole peak voltage."
        )
    if measured is None or best is None:
        return Answer(values, notes=notes)
    if emptied:
        why = (
            f"the upper bound of {show(bound or 0.0, VOLTS)} is more than the peak allows, so load, "
            "capacitance or peak is not as given"
        )
        return Answer(values, verdict="cannot tell", why=why, notes=notes)
    verdict, why, more = _judge(measured, best, is_bound=ripple is None)
    if rectifier == "full" and verdict != "pass":
        more.append(f"If it is at {mains:g} Hz instead of {pulses:g} Hz, one diode is open.")
    return Answer(values, verdict=verdict, why=why, notes=[*notes, *more])


def _refined(
    load: float, capacitance: float, mains: float, pulses: float, peak: float
) -> float | None:
    """Give the ripple with the time of charging taken off; None where the capacitor empties.

    Halving: the plain iteration swings without end where the ripple is a large part of the peak.
    """

    def excess(ripple: float) -> float:
        charging = 2 * math.asin(math.sqrt(ripple / peak / 2)) / (2 * math.pi * mains)
        return load * (1 / pulses - charging) / capacitance - ripple

    low, high = 0.0, peak
    if excess(high) >= 0:
        return None
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) > 0 else (low, middle)
    return min(low, load / (pulses * capacitance))


def _judge(measured: float, expected: float, *, is_bound: bool) -> tuple[Verdict, str, list[str]]:
    ratio = measured / expected
    what = "the upper bound" if is_bound else "the expected ripple"
    why = f"{show(measured, VOLTS)} is {ratio:.2f} times {what} of {show(expected, VOLTS)}"
    notes = []
    if is_bound:
        notes.append(
            "The bound is higher than the true ripple, by 15 to 18 % in common supplies and by up "
            "to 45 % with much source resistance, so it can hide a capacitor that has lost a "
            "quarter. Give the peak voltage for a closer judgement."
        )
    if ratio < 0.5:
        notes.append(
            "This is far less than expected: check that the load really draws this current and "
            "that the reading is peak to peak, not rms."
        )
    # a ratio of exactly 1.1 must not fail on its last binary digit
    if ratio <= PASS_RATIO * (1 + 1e-9):
        return "pass", why, notes
    if ratio <= MARGINAL_RATIO * (1 + 1e-9):
        return "marginal", why, notes
    return "fail", f"{why}: capacitance low, or load too high, or one diode open", notes


def _missing(ripple: float | None, peak: float | None) -> str:
    if ripple is not None:
        return ""
    return _NEEDS_PEAK if peak is None else _NEEDS_CAPACITANCE


def _refuse_unusable(
    capacitance: float | None,
    peak: float | None,
    measured: float | None,
    wanted_ripple: float | None,
) -> None:
    if capacitance is None and wanted_ripple is None:
        raise CalculationError(
            "give the capacitance, or the wanted ripple to find the capacitance for it",
            input="capacitance",
            choices=["capacitance", "wanted_ripple"],
        )
    if capacitance is None and measured is not None:
        raise CalculationError(
            "a measured ripple can only be judged where the capacitance is given",
            input="capacitance",
            choices=["capacitance"],
        )
    for name, ripple in (("measured", measured), ("wanted_ripple", wanted_ripple)):
        if peak is not None and ripple is not None and ripple > peak:
            raise CalculationError(
                f"{name} of {show(ripple, VOLTS)} is more than the peak of {show(peak, VOLTS)}; "
                "the ripple of a rectifier is at most its peak voltage",
                input=name,
                read=show(ripple, VOLTS),
            )
