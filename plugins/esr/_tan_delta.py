"""Loss angle and series resistance: one from the other, and the limits without a data sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    BELIEVE_NEITHER,
    HERTZ,
    MEMORY,
    NUMBER,
    OHMS,
    PUBLISHED,
    Answer,
    CalculationError,
    Entry,
    Farads,
    Hertz,
    Number,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    Volts,
    calculator,
    show,
    within,
)

from ._parts import capacitance_and_esr, size_of
from ._records import RECORDS, RecordName, esr_of, new_part_limits

_MEASURING = Source("a capacitor maker's operating guide: measuring tan delta and ESR")
_STANDARDS = Source("IEC 60384-1 and IEC 60384-4, measuring conditions", MEMORY)


@calculator(
    "esr-tan-delta",
    formula="esr = tan_delta/(2 pi frequency capacitance);  "
    "tan_delta = 2 pi frequency capacitance esr;  quality = 1/tan_delta",
    sources=[_MEASURING, _STANDARDS],
    cautions=[BELIEVE_NEITHER],
    gives={
        "esr": "equivalent series resistance at that frequency",
        "tan_delta": "loss tangent, also called dissipation factor",
        "quality": "one over the loss tangent",
    },
    fits=lambda where, entry: capacitance_and_esr(where),
)
def esr_tan_delta(
    capacitance: Annotated[Farads, "series capacitance", within(1e-12, 1)],
    frequency: Annotated[
        Hertz, "frequency that the tan delta or ESR belongs to", within(1, 1e7), PUBLISHED
    ] = 120,
    tan_delta: Annotated[Number | None, "loss tangent; give this or esr", within(0, 5)] = None,
    esr: Annotated[Ohms | None, "series resistance; give this or tan_delta"] = None,
) -> Answer:
    """What ESR does this tan delta mean, or the other way about?

    The frequency and the capacitance must be those that the tan delta was measured with. A
    sheet that states 100 Hz and one that states 120 Hz differ by 1.2 in the tan delta of the
    same part. Sheets measure at 100 or 120 Hz, with at most 0.5 V, at 20 degC.

    Example: tan delta 0.16 at 120 Hz and 1000 uF: 0.2122 ohm, quality 6.25.
    """
    if (tan_delta is None) == (esr is None):
        both = tan_delta is not None
        raise CalculationError(
            f"give tan_delta or esr, {'not both' if both else 'one of the two'}",
            input="esr" if both else "tan_delta",
            read=show(esr, OHMS) if esr is not None else "",
            choices=["tan_delta", "esr"],
        )
    if tan_delta is None:
        assert esr is not None
        tan_delta = 2 * math.pi * frequency * capacitance * esr
    else:
        esr = esr_of(tan_delta, frequency, capacitance)
    return Answer(
        [
            Value("esr", esr, OHMS, digits=5),
            Value("tan_delta", tan_delta, NUMBER),
            Value("quality", 1 / tan_delta, NUMBER)
            if tan_delta
            else Value("quality", None, NUMBER, text="none: a part without loss"),
        ]
    )


def _fits_limit(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    return size_of(where, entry) if isinstance(where, Part) else None


@calculator(
    "tan-delta-limit",
    formula="tan_delta from the record, +0.02 for each whole 1000 uF above the first;  "
    "esr = tan_delta/(2 pi 120 Hz capacitance);  esr_at_frequency = esr/F^2",
    sources=[
        *(Source(one.source) for one in RECORDS.values()),
        Source("whole steps of 1000 uF", MEMORY),
        _STANDARDS,
    ],
    cautions=[BELIEVE_NEITHER],
    gives={
        "tan_delta": "highest tan delta of a new part, 120 Hz and 20 degC",
        "esr": "highest ESR of a new part at 120 Hz",
        "esr_at_frequency": "highest ESR of a new part at the frequency asked for",
    },
    fits=_fits_limit,
)
def tan_delta_limit(
    capacitance: Annotated[Farads, "nominal capacitance", within(1e-7, 0.1)],
    rated_voltage: Annotated[Volts, "rated voltage", within(4, 450)],
    frequency: Annotated[
        Hertz, "frequency the ESR limit is wanted for", within(50, 1e6), PUBLISHED
    ] = 120,
    record: Annotated[RecordName, "whose limits: the series sheet that is nearest"] = "radial-105",
) -> Answer:
    """What loss may a general-purpose aluminium capacitor have when it has no data sheet?

    These are limits of new general-purpose parts, highest values and not typical ones. A
    low-impedance series must be judged by its own sheet: these limits are far too generous for
    it. Makers differ: 6.3 V 0.22 to 0.28, 10 V 0.19 to 0.24, 16 V 0.16 to 0.20.

    End of life is a multiple of the limit, never of what was measured when new: 200 % of the
    specified value in two of the sheets, 150 % in a third; a snap-in series states 1.3 times its
    ESR limit after endurance and 3 times at the end of useful life.

    Up to 50 V the limit is carried to other frequencies by the ripple coefficients of a
    surface-mount sheet, since equal heating means equal current squared times ESR. Above 50 V no
    such coefficients were seen: ask at 120 Hz, or take the limit of the part's own sheet.

    Example: 2200 uF, 16 V: tan delta 0.18, so 0.1085 ohm at 120 Hz and 0.0694 ohm at 100 kHz.
    """
    found = new_part_limits(record, capacitance, rated_voltage, frequency)
    values = [Value("tan_delta", found.tan_delta, NUMBER), Value("esr", found.esr, OHMS)]
    if found.esr_at_frequency is None:
        why = no_coefficients(rated_voltage, frequency)
        missing = Value("esr_at_frequency", None, OHMS, text=why)
        return Answer(
            [*values, missing],
            verdict="cannot tell",
            why=f"{why}; ask at 120 Hz",
            assumptions=found.assumptions,
        )
    return Answer(
        [*values, Value("esr_at_frequency", found.esr_at_frequency, OHMS)],
        assumptions=found.assumptions,
        notes=["limits of a new general-purpose part; a low-impedance series has its own sheet"],
    )


def no_coefficients(rated_voltage: float, frequency: float) -> str:
    """Say why there is no limit at a frequency."""
    return (
        f"no frequency coefficients for {rated_voltage:g} V, only up to 50 V: the limit at "
        f"120 Hz cannot be carried to {show(frequency, HERTZ)}"
    )
