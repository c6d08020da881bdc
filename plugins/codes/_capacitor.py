"""Three-digit capacitor codes, with voltage and tolerance where they are marked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Literal, NamedTuple

from fixbook.api import (
    FARADS,
    PRACTICE,
    RATIO,
    SECONDARY,
    VOLTS,
    Answer,
    CalculationError,
    Entry,
    Farads,
    FixbookError,
    Part,
    Source,
    Table,
    Target,
    above,
    calculator,
    read,
    show,
)

from . import _voltage
from ._marking import E24, IEC_60062, NO_PROOF, clean, either, is_preferred, unknown
from ._tolerance import Marked, letters, marked

_MARKING = re.compile(
    r"(?:(?P<rated>\d[A-Z])(?=\d{2}|\d?R))?(?P<figures>\d+R\d+|R\d+|\d{1,3})"
    r"(?P<tolerance>[A-Z])?(?: ?(?P<volts>\d+(?:\.\d+)?) ?[Vv])?"
)
_SMALL = {8: -2, 9: -1}
_UNUSED = 7
_ALSO_MULTIPLIERS = {"P": (-12, "pico"), "N": (-9, "nano")}
"""Letters of rare tolerances that more often stand for the unit."""

Body = Literal["ceramic", "film", "tantalum", "aluminium"]


class Reading(NamedTuple):
    """One way to read a marking."""

    capacitance: float
    note: str
    by_letter: bool = False
    """Whether the letter gives the multiplier, so that no tolerance is marked."""


def figures_of(figures: str, *, can: bool) -> list[Reading]:
    """Give every capacitance that figures may stand for, best first.

    `can` says that they stand on an aluminium can, which usually prints microfarads directly.
    CalculationError where the third digit is one that is not used.
    """
    plain = [
        Reading(float(f"{figures.replace('R', '.')}e-6"), "microfarads, as aluminium cans print")
    ]
    coded = list(_coded(figures))
    usual = "R" in figures or len(figures) < 3 or is_preferred(float(figures), E24)
    if not can:
        return coded
    return [*plain, *coded] if usual else [*coded, *plain]


def _coded(figures: str) -> Iterator[Reading]:
    if "R" in figures:
        yield Reading(float(f"{figures.replace('R', '.')}e-12"), "picofarads, R is the mark")
        return
    if len(figures) < 3:
        yield Reading(float(f"{figures}e-12"), "picofarads")
        return
    last = int(figures[2])
    if last == _UNUSED:
        raise unknown(figures, "a third digit of 7 is not used")
    power = _SMALL.get(last, last)
    yield Reading(float(f"{figures[:2]}e{power - 12}"), "two digits and a power of ten, picofarads")
    if last == 0:
        yield Reading(float(f"{figures}e-12"), f"picofarads written out ({PRACTICE})")


def encode(capacitance: float) -> str | None:
    """Give the code of a capacitance; None where there is no exact one."""
    figures, _, power = f"{capacitance * 1e12:.1e}".partition("e")
    tens = int(power) - 1
    mantissa = figures.replace(".", "")
    code = {-1: figures.replace(".", "R"), -2: f"{mantissa}8"}.get(tens, f"{mantissa}{tens}")
    if not -2 <= tens <= 6:
        return None
    return code if abs(next(_coded(code)).capacitance / capacitance - 1) < 1e-9 else None


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Say how a small capacitor of the write-up is marked."""
    if not isinstance(where, Part):
        return None
    if not any(word in where.is_.lower() for word in ("ceramic", "film", "tantalum")):
        return None
    try:
        value = read(where.value, FARADS).value
    except FixbookError:
        return None
    return {"capacitance": where.value} if 0 < value <= 1 and encode(value) else None


@calculator(
    "capacitor-code",
    formula="two digits AB and a power of ten C: AB 10^C pF;  C = 8 is 0.01, C = 9 is 0.1",
    sources=[
        IEC_60062,
        Source("multipliers, 8 and 9 among them, and worked examples, public tables", SECONDARY),
        Source("three digits with a last 0 written out in picofarads", PRACTICE),
    ],
    cautions=[NO_PROOF],
    gives={
        "readings": "every way to read the marking, best first: capacitance, tolerance and rated "
        "direct voltage where they are marked"
    },
    fits=_fits,
)
def capacitor_code(
    code: Annotated[str | None, "as marked: 104, 2A474J, 4R7, 105K 330V"] = None,
    capacitance: Annotated[Farads | None, "to find its code instead", above(0, 1)] = None,
    body: Annotated[Body | None, "what it is marked on"] = None,
) -> Answer:
    """What does 104, 2A474J or 4R7 on a capacitor mean, or how is this one marked?

    Two digits and a power of ten, in picofarad; R is the decimal mark; one or two digits alone
    are picofarads. A letter after the digits is the tolerance, a digit and a letter before them
    the voltage code. A third digit of 7 is not used. 100 on a ceramic is 10 pF by the rule, but
    some makers write 100 pF out so. Aluminium cans usually print microfarads directly: 100 over
    16 is 100 uF 16 V; say body=aluminium for one.

    Example: 104 is 10 times ten to the fourth pF, that is 100 nF; 2A474J is 100 V, 470 nF 5 %.
    """
    if code is not None and capacitance is None:
        return _decoded(clean("code", code, blanks=True), can=body == "aluminium")
    _, wanted = either(code, capacitance, "capacitance", command="capacitor-code")
    assert wanted is not None
    mark = encode(wanted)
    if mark is None:
        text = show(wanted, FARADS, digits=6)
        raise CalculationError(
            f"{text} has no three-digit code: it takes two figures, from 0.1 pF to 99 uF",
            input="capacitance",
            read=text,
        )
    return _table(mark, [Reading(wanted, "two digits and a power of ten, picofarads")], "", None)


def _decoded(code: str, *, can: bool) -> Answer:
    found = _MARKING.fullmatch(code)
    if found is None:
        choices = [f"rkm-code {code} field=C"] if re.search("[pnuPNU]", code) else []
        raise unknown(code, "one to three digits are wanted, as in 104 or 2A474J", *choices)
    letter = found["tolerance"] or ""
    if letter and letter not in letters(capacitor=True):
        known = ", ".join(sorted(letters(capacitor=True)))
        raise unknown(code, f"{letter} is no tolerance letter; they are {known}")
    voltage = _voltage.decode(found["rated"]) if found["rated"] else None
    if found["volts"]:
        printed = float(found["volts"])
        if voltage is not None and voltage != printed:
            both = f"{found['rated']} ({show(voltage, VOLTS)}) and {show(printed, VOLTS)}"
            raise unknown(code, f"it states two voltages, {both}")
        voltage = printed
    readings = figures_of(found["figures"], can=can)
    if letter in _ALSO_MULTIPLIERS:
        power, name = _ALSO_MULTIPLIERS[letter]
        value = float(f"{found['figures'].replace('R', '.')}e{power}")
        readings.insert(0, Reading(value, f"{letter} as {name}farads", by_letter=True))
    return _table(code, readings, letter, voltage)


def _table(code: str, readings: list[Reading], letter: str, voltage: float | None) -> Answer:
    limits = [
        None if one.by_letter else marked(letter, one.capacitance, capacitor=True)
        for one in readings
    ]
    doubts = {one.doubt: None for one in limits if one is not None and one.doubt}
    return Answer(
        [
            Table(
                "readings",
                {
                    "code": None,
                    "capacitance": FARADS,
                    "tolerance": RATIO,
                    "voltage": VOLTS,
                    "note": None,
                },
                [
                    {
                        "code": code,
                        "capacitance": one.capacitance,
                        "tolerance": _tolerance(limit),
                        "voltage": voltage,
                        "note": "; ".join(filter(None, (one.note, _absolute(limit)))),
                    }
                    for one, limit in zip(readings, limits, strict=True)
                ],
            )
        ],
        assumptions=list(doubts),
        notes=["more than one value is possible: measure"] if len(readings) > 1 else [],
    )


def _tolerance(limit: Marked | None) -> float | str | None:
    if limit is None:
        return None
    return limit.share if limit.share is not None else limit.text


def _absolute(limit: Marked | None) -> str:
    return limit.text if limit is not None and limit.text.endswith("pF") else ""
