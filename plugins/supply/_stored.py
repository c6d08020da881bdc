"""How dangerous a charged capacitor is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    COULOMBS,
    DISCHARGE_TOOL,
    JOULES,
    MEMORY,
    PRACTICE,
    PROVE_DEAD,
    PUBLISHED,
    SECONDARY,
    VOLTS,
    Answer,
    Entry,
    Farads,
    Kind,
    Part,
    Source,
    Table,
    Target,
    Value,
    Volts,
    calculator,
    read,
    within,
)

from . import _charge
from ._parts import capacitance_of, voltage_of

Row = dict[str, float | int | str | bool | None]

_NOT_PERMISSION = (
    "Below the joule limits the startled movement is still a hazard. The flags sort parts by the "
    "care they need; none of them means that a part may be touched."
)


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    capacitance, voltage = capacitance_of(where), voltage_of(where)
    if not capacitance or not voltage or read(voltage, VOLTS).value <= _charge.TOUCH_VOLTS:
        return None
    return {"capacitance": capacitance, "voltage": voltage}


@calculator(
    "stored-energy",
    formula="E = C V^2/2; Q = C V; danger above 60 V with more than 0.2 J or 60 uC",
    sources=[
        Source("IEC 60335-1, 8.1.4: 42.4 V, 0.1 uF, 45 uC, 350 mJ, quoted in a forum", SECONDARY),
        Source("IEC 60204-1, 6.2.4: 60 V or 60 uC, in a translated clause text", PUBLISHED),
        Source("IEC 62368-1, table 5: 41 nF at 150 V for class 1", SECONDARY),
        Source("IEC 62368-1, table 5: all other pairs", MEMORY),
        Source("IEC 61010-1, third edition, 6.3: 60 V DC, 300 nF at 150 V", SECONDARY),
        Source("hazard table of a US national laboratory, after the DOE classification", PUBLISHED),
        Source("support paper of a vehicle safety rule, citing DOE-HDBK-1092: 0.2 J", PUBLISHED),
        Source("more than 1 J at 60 V or less: ring and bracelet hazard", PRACTICE),
    ],
    cautions=[PROVE_DEAD, DISCHARGE_TOOL, _NOT_PERMISSION],
    gives={
        "energy": "stored energy",
        "charge": "stored charge",
        "flags": "published limits, each with whether it is reached",
    },
    fits=_fits,
)
def stored_energy(
    capacitance: Annotated[Farads, "capacitance", within(1e-12, 1)],
    voltage: Annotated[Volts, "highest voltage that may be across it", within(0, 50_000)],
) -> Answer:
    """How dangerous is this capacitor if it is still charged?

    Danger: above 60 V with more than 0.2 J or more than 60 uC. Startling, with burns: above 42.4 V
    otherwise. Each published limit has its own line, since they were made for different people
    and different equipment. A charge exactly on a limit is within it.

    Example: 220 uF at 385 V holds 16.3 J and 84.7 mC: danger, and above the 10 J line at which
    laboratories speak of a shock hazard.
    """
    verdict, word, why = _charge.judge(capacitance, voltage)
    energy, charge = _charge.energy_of(capacitance, voltage), capacitance * voltage
    columns: dict[str, Kind | None] = {"flag": None, "reached": None, "rule": None, "source": None}
    rows: list[Row] = [
        {"flag": one.name, "reached": one.reached, "rule": one.rule, "source": one.source}
        for one in _charge.flags(capacitance, voltage)
    ]
    notes, cautions = [], []
    live = _charge.exceeds(voltage, _charge.SHOCK_VOLTS)
    much = _charge.exceeds(charge, _charge.EXEMPT_COULOMBS)
    if live and much and _charge.exceeds(capacitance, 0.1e-6):
        notes.append(
            "Across a mains plug this must have a bleeder: it is more than 0.1 uF and more than "
            f"60 uC (rule quoted from IEC 60950-1, {SECONDARY})."
        )
    if not live and _charge.exceeds(energy, 1):
        cautions.append(
            "High current at low voltage: take off rings and bracelets, and cover the terminals."
        )
    if verdict == "marginal" and _charge.energy_class(capacitance, voltage) == 3:
        cautions.append(
            f"IEC 62368-1 puts it into its highest class, 3 ({MEMORY}): treat it as a danger."
        )
    return Answer(
        [
            Value("energy", energy, JOULES),
            Value("charge", charge, COULOMBS),
            Table("flags", columns, rows),
        ],
        verdict=verdict,
        word=word,
        why=why,
        notes=notes,
        cautions=cautions,
    )
