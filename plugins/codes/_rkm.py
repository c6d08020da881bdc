"""Letter-and-digit codes: the letter stands where the decimal mark would be."""

from __future__ import annotations

import re
from typing import Annotated, Literal, NamedTuple

from fixbook.api import (
    FARADS,
    MEMORY,
    OHMS,
    RATIO,
    SECONDARY,
    Answer,
    CalculationError,
    Source,
    Value,
    calculator,
)

from ._marking import IEC_60062, NO_PROOF, clean, unknown
from ._tolerance import Marked, letters, marked

_CODE = re.compile(r"(\d*)([A-Za-z])(\d*)([A-Za-z]?)")
_MULTIPLIERS = {
    "R": {"L": -3, "R": 0, "r": 0, "K": 3, "k": 3, "M": 6, "G": 9, "T": 12},
    "C": {"p": -12, "P": -12, "n": -9, "N": -9, "u": -6, "U": -6, "m": -3, "F": 0},
}


class Reading(NamedTuple):
    """A letter-and-digit code, read."""

    value: float
    """In ohms or farads."""
    tolerance: Marked | None
    notes: tuple[str, ...] = ()


def decode(text: str, field: str) -> Reading:
    """Read a code in the field R or C; CalculationError says what stands in the way."""
    plain = clean("text", text).removesuffix("Ω")
    found = _CODE.fullmatch(plain)
    if found is None or not found[1] + found[3]:
        wanted = "4k7 or R47" if field == "R" else "4n7 or p68"
        raise unknown(
            plain, f"digits with one letter between them are wanted, as {wanted}", name="text"
        )
    before, letter, after, last = found.groups()
    power = _power(plain, letter, field, before, after + last)
    value = float(f"{before or 0}.{after or 0}e{power}")
    notes = [f"L read as milliohm ({SECONDARY})"] if letter == "L" else []
    if field == "C" and letter in "PNU":
        notes.append(f"{letter} read as {letter.lower()}")
    if last.upper() == "F" and field == "C" and not after:
        return Reading(value, None, (*notes, "F read as farad; as a tolerance letter it is 1 %"))
    if not last:
        return Reading(value, None, tuple(notes))
    tolerance = marked(last.upper(), value, capacitor=field == "C")
    if tolerance is None:
        known = ", ".join(sorted(letters(capacitor=field == "C")))
        raise unknown(plain, f"{last} is no tolerance letter; they are {known}", name="text")
    if last.upper() == "F" and field == "C":
        notes.append("F read as the tolerance 1 %; as farad it says no tolerance")
    return Reading(value, tolerance, (*notes, *([tolerance.doubt] if tolerance.doubt else [])))


def _power(text: str, letter: str, field: str, before: str, rest: str) -> int:
    powers = _MULTIPLIERS[field]
    if letter in powers:
        return powers[letter]
    if field == "R" and letter == "m":
        choices = [f"{before}L{rest}", f"{before}M{rest}"]
        raise unknown(text, "m could be milli or mega", *choices, name="text")
    if field == "C" and before and not rest and letter.upper() in letters(capacitor=True):
        raise CalculationError(
            f"{text} says a tolerance after {before}, but not whether that is pF, uF or a "
            "three-digit code",
            input="text",
            read=text,
            hint="capacitor-code reads three-digit codes",
            choices=[f"{before}p{letter}", f"{before}u{letter}"],
        )
    known = ", ".join(dict.fromkeys(powers))
    what = "resistance" if field == "R" else "capacitance"
    raise unknown(text, f"{letter} is no multiplier of a {what}; they are {known}", name="text")


@calculator(
    "rkm-code",
    formula="value = digits with the letter as decimal mark, times the letter's power of ten",
    sources=[
        IEC_60062,
        Source("IEC 60062 clause 4, scope"),
        Source("tolerance letters E, L, P, W, N, Q, T, S and B, F, G below 10 pF", MEMORY),
    ],
    cautions=[NO_PROOF],
    gives={
        "value": "resistance or capacitance",
        "tolerance": "either way, as a share of the value; down and up where they differ",
        "low": "the lowest value it may have",
        "high": "the highest value it may have",
    },
)
def rkm_code(
    text: Annotated[str, "the code as marked: 4k7, R22, 6n8J"],
    field: Annotated[Literal["R", "C"], "whether a resistance or a capacitance is marked"] = "R",
) -> Answer:
    """What does a code such as 4k7, R22 or 6n8J mean?

    The first letter stands for the decimal mark and gives the multiplier: R 1, K or k a
    thousand, M a million ohm; p, n, u, m and F for capacitors. A letter after the last digit is
    the tolerance: F 1 %, G 2 %, J 5 %, K 10 %, M 20 %, Z -20/+80 %. K, M, F, G, L, P, N, T and R
    have two meanings each; only the position tells: 4K7K is 4.7 kohm 10 %, 1M0M is 1 Mohm 20 %.
    470K is 470 kohm, or 470 with 10 % on a capacitor. Below 10 pF the letters B, C, D, F and G
    are absolute: 0.1, 0.25, 0.5, 1 and 2 pF.

    Example: 6n8J on a capacitor is 6.8 nF 5 %, that is 6.46 to 7.14 nF.
    """
    found = decode(text, field)
    kind = OHMS if field == "R" else FARADS
    limits = found.tolerance
    if limits is None:
        nothing = {"tolerance": "none marked", "low": "no tolerance", "high": "no tolerance"}
        unmarked = [Value(name, None, text=why) for name, why in nothing.items()]
        return Answer([Value("value", found.value, kind), *unmarked], assumptions=found.notes)
    both = [limits.low / found.value - 1, limits.high / found.value - 1] if found.value else None
    share = limits.share if limits.share is not None else both
    return Answer(
        [
            Value("value", found.value, kind),
            Value("tolerance", share, RATIO, text=limits.text),
            Value("low", limits.low, kind),
            Value("high", limits.high, kind),
        ],
        assumptions=found.notes,
    )
