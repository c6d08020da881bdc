"""The three-character code of 1 % chip resistors: two digits and a letter."""

from __future__ import annotations

import math
import re
from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    MEMORY,
    OHMS,
    SECONDARY,
    Answer,
    CalculationError,
    Ohms,
    Source,
    Value,
    above,
    calculator,
    show,
)

from ._marking import E96, NO_PROOF, either, unknown

_POWERS = {"Z": -3, "Y": -2, "X": -1, "A": 0, "B": 1, "C": 2, "D": 3, "E": 4, "F": 5}
_SECOND = {"R": "Y", "S": "X", "H": "B"}
"""Other letters with the same meaning, from memory."""


def decode(code: str) -> float:
    """Give the resistance of a code; CalculationError where there is none."""
    found = re.fullmatch(r"(\d\d)([A-Z])", code.upper())
    if found is None:
        if re.fullmatch(r"[A-Z]\d\d", code.upper()):
            raise unknown(code, "a letter first is another scheme, which is not known here")
        raise unknown(code, "two digits and a letter are wanted, as in 68X")
    number, letter = int(found[1]), _SECOND.get(found[2], found[2])
    if not 1 <= number <= len(E96):
        raise unknown(code, f"its digits are {found[1]}; they go from 01 to 96")
    if letter not in _POWERS:
        known = ", ".join((*_POWERS, *_SECOND))
        raise unknown(code, f"{letter} is no multiplier; they are {known}")
    return float(f"{E96[number - 1]}e{_POWERS[letter]}")


def encode(resistance: float) -> str:
    """Give the code of the E96 value nearest to a resistance; CalculationError out of range."""
    codes = {f"{number:02}{letter}" for number in range(1, 97) for letter in _POWERS}
    values = {code: decode(code) for code in codes}
    low, high = min(values.values()), max(values.values())
    if not low / 1.02 <= resistance <= high * 1.02:
        text = show(resistance, OHMS)
        why = f"{text} has no such code; they go from {show(low, OHMS)} to {show(high, OHMS)}"
        raise CalculationError(why, input="resistance", read=text)
    return min(codes, key=lambda code: abs(values[code] - resistance))


@calculator(
    "eia96-code",
    formula="value = E96[n] times the letter's power of ten;  E96[n] = round(100 10^((n - 1)/96))",
    sources=[
        Source("IEC 60062:2016 Annex A, special three-character coding"),
        Source("multiplier letters, public code lists", SECONDARY),
        Source("second letters R, S and H", MEMORY),
        Source("IEC 60063, table of E96, given whole by the rule", ARITHMETIC),
    ],
    cautions=[NO_PROOF],
    gives={"resistance": "what the code stands for, 1 %", "code": "how it is marked"},
)
def eia96_code(
    code: Annotated[str | None, "two digits and a letter, as in 68X"] = None,
    resistance: Annotated[Ohms | None, "to find its code instead", above(0, 1e12)] = None,
) -> Answer:
    """What resistance has the code 68X, or which code has this resistance?

    The digits 01 to 96 count the values of E96; the letter multiplies: Z 0.001, Y or R 0.01, X
    or S 0.1, A 1, B or H 10, C 100, D 1000, E 10 000, F 100 000. R, S and H are from memory.
    The tolerance is 1 %. 24 is 174 and 25 is 178; one public list is off by one there, another
    gives G and H as a million and ten million: reject that. Codes with the letter first belong
    to another scheme, for 2, 5 and 10 %.

    Example: 68X is 499 times 0.1, that is 49.9 ohm.
    """
    typed, wanted = either(code, resistance, "resistance", command="eia96-code")
    if typed is not None:
        value, mark = decode(typed), typed.upper()
        second = mark[-1] in _SECOND
        note = f"{mark[-1]} read as {_SECOND[mark[-1]]} ({MEMORY})" if second else ""
    else:
        assert wanted is not None
        mark = encode(wanted)
        value = decode(mark)
        off = value / wanted - 1
        exact = math.isclose(value, wanted, rel_tol=1e-9)
        note = "" if exact else f"nearest value of E96, {off * 100:+.3f} % off"
    return Answer(
        [Value("resistance", value, OHMS), Value("code", mark)],
        assumptions=[note] if note else [],
        notes=["the tolerance is 1 %"],
    )
