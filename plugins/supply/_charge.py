"""Charge and energy on a capacitor, and the published limits that they are held against.

Every limit is a flag that is reached or not. None of them means that a part may be touched.
"""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.api import COULOMBS, JOULES, MEMORY, PUBLISHED, SECONDARY, VOLTS, Verdict, show

TOUCH_VOLTS = 42.4
SHOCK_VOLTS = 60.0
LOW_JOULES = 0.2
EXEMPT_COULOMBS = 60e-6

# IEC 62368-1, table 5: farads, then the peak volts up to which class 1 and class 2 reach. 41 nF
# at 150 V was seen in an engineers' forum, all other pairs are from memory: they may make a
# message stricter, never milder, so a capacitance between two rows takes the larger row's volts.
TABLE_5 = (
    (4e-9, 1000, 2000),
    (8e-9, 500, 1000),
    (12e-9, 350, 700),
    (18e-9, 250, 500),
    (28e-9, 200, 400),
    (41e-9, 150, 300),
    (61e-9, 125, 250),
    (91e-9, 100, 200),
    (170e-9, 75, 150),
    (300e-9, 60, 120),
)


@dataclass(frozen=True, slots=True)
class Flag:
    """One limit and whether this charge reaches it."""

    name: str
    reached: bool
    rule: str
    source: str


def energy_of(capacitance: float, voltage: float) -> float:
    """Give the energy in joules."""
    return capacitance * voltage * voltage / 2


def exceeds(value: float, limit: float) -> bool:
    """Say whether a value is above a limit; equal but for the last binary digits is not."""
    return value > limit * (1 + 1e-9)


def reaches(value: float, limit: float) -> bool:
    """Say whether a value is at or above a limit, but for the last binary digits."""
    return value >= limit * (1 - 1e-9)


def energy_class(capacitance: float, voltage: float) -> int:
    """Give the class of IEC 62368-1, table 5: 1, 2 or 3."""
    rows = (row for row in TABLE_5 if not exceeds(capacitance, row[0]))
    _, class_1, class_2 = next(rows, TABLE_5[-1])
    if not exceeds(voltage, class_1):
        return 1
    return 3 if exceeds(voltage, class_2) else 2


def judge(capacitance: float, voltage: float) -> tuple[Verdict, str | None, str]:
    """Give verdict, word and the sentence with the numbers that decided it."""
    energy, charge = energy_of(capacitance, voltage), capacitance * voltage
    what = f"{show(energy, JOULES)} and {show(charge, COULOMBS)} at {show(voltage, VOLTS)}"
    if exceeds(voltage, SHOCK_VOLTS):
        if exceeds(energy, LOW_JOULES) or exceeds(charge, EXEMPT_COULOMBS):
            why = f"{what}: above 60 V with more than 0.2 J or more than 60 uC"
            return "fail", "danger", why
        why = f"{what}: above 60 V, but not more than 0.2 J and 60 uC"
        return "marginal", "startling", why
    if exceeds(voltage, TOUCH_VOLTS):
        return "marginal", "startling", f"{what}: above 42.4 V, but not 60 V"
    return "info", None, f"{what}: not above 42.4 V"


def flags(capacitance: float, voltage: float) -> list[Flag]:
    """Hold a charged capacitor against every limit."""
    energy, charge = energy_of(capacitance, voltage), capacitance * voltage
    high_voltage = reaches(voltage, 100)
    found = energy_class(capacitance, voltage)
    return [
        Flag(
            "household",
            _beyond_household(capacitance, voltage),
            "live above 42.4 V with more than 0.1 uF (up to 450 V), 45 uC (up to 15 kV) or 350 mJ",
            f"IEC 60335-1, 8.1.4, protective impedance ({SECONDARY})",
        ),
        Flag(
            "machine",
            exceeds(voltage, SHOCK_VOLTS) and exceeds(charge, EXEMPT_COULOMBS),
            "must be discharged: above 60 V and above 60 uC",
            f"IEC 60204-1, 6.2.4, read in translation ({PUBLISHED})",
        ),
        Flag(
            "audio, video and IT",
            found > 1,
            f"class {found} of three; class 1 is the mildest",
            f"IEC 62368-1, 5.2.2, table 5 ({MEMORY})",
        ),
        Flag(
            "instrument",
            exceeds(voltage, SHOCK_VOLTS),
            "above 60 V DC; its charge curve allows 300 nF at 150 V",
            f"IEC 61010-1, third edition, 6.3 ({SECONDARY})",
        ),
        Flag(
            "laboratory shock hazard",
            high_voltage and reaches(energy, 10),
            "100 V or more and 10 J or more",
            f"hazard table of a US national laboratory ({PUBLISHED})",
        ),
        Flag(
            "laboratory burn and arc hazard",
            not high_voltage and exceeds(energy, 100),
            "below 100 V and more than 100 J",
            f"hazard table of a US national laboratory ({PUBLISHED})",
        ),
        Flag(
            "not low-energy",
            reaches(energy, LOW_JOULES),
            "0.2 J or more",
            f"support paper of a vehicle safety rule, citing DOE-HDBK-1092 ({PUBLISHED})",
        ),
    ]


def _beyond_household(capacitance: float, voltage: float) -> bool:
    if not exceeds(voltage, TOUCH_VOLTS):
        return False
    if not exceeds(voltage, 450):
        return exceeds(capacitance, 0.1e-6)
    if not exceeds(voltage, 15_000):
        return exceeds(capacitance * voltage, 45e-6)
    return exceeds(energy_of(capacitance, voltage), 0.35)
