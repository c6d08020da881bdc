"""Voltage codes: a digit and a letter."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    ARITHMETIC,
    MEMORY,
    SECONDARY,
    VOLTS,
    Answer,
    CalculationError,
    Entry,
    FixbookError,
    Part,
    Source,
    Target,
    Value,
    Volts,
    above,
    calculator,
    read,
    show,
)

from ._marking import NO_PROOF, either, unknown

# the ten-step preferred numbers, then the letters in between
_MANTISSAS = {
    "A": "1.0", "B": "1.25", "C": "1.6", "D": "2.0", "E": "2.5", "F": "3.15", "G": "4.0",
    "H": "5.0", "J": "6.3", "K": "8.0",
    "Q": "1.1", "Z": "1.8", "P": "2.2", "V": "3.5", "W": "4.5", "L": "5.5", "N": "7.5",
}  # fmt: skip
_LONE = {
    "e": 2.5, "G": 4.0, "J": 6.3, "A": 10.0, "C": 16.0, "D": 20.0, "E": 25.0, "V": 35.0,
    "H": 50.0, "T": 50.0,
}  # fmt: skip
_HIGHEST_DIGIT = 4
LETTERS = frozenset(_MANTISSAS)


def decode(code: str) -> float:
    """Give the voltage of a digit and a letter; CalculationError where there is none."""
    found = re.fullmatch(r"(\d)([A-Z])", code.upper())
    if found is None:
        raise unknown(code, "a digit and a letter are wanted, as in 1H")
    digit, letter = found.groups()
    if letter not in _MANTISSAS:
        raise unknown(code, f"{letter} is no voltage letter; they are {', '.join(_MANTISSAS)}")
    if int(digit) > _HIGHEST_DIGIT:
        raise unknown(code, f"its digit is {digit}; it goes from 0 to {_HIGHEST_DIGIT}")
    return float(f"{_MANTISSAS[letter]}e{digit}")


def encode(voltage: float) -> str | None:
    """Give the code of a voltage; None where it has none."""
    return next((code for code, value in _codes().items() if _is_close(value, voltage)), None)


def _codes() -> dict[str, float]:
    codes = (f"{digit}{letter}" for digit in range(_HIGHEST_DIGIT + 1) for letter in _MANTISSAS)
    return {code: decode(code) for code in codes}


def _is_close(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-9 * abs(other)


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Say how the rated voltage of a capacitor of the write-up is marked."""
    if not isinstance(where, Part):
        return None
    if not any(word in where.is_.lower() for word in ("capacitor", "electrolytic")):
        return None
    try:
        voltage = read(where.volts, VOLTS).value
    except FixbookError:
        return None
    return {"voltage": where.volts} if encode(voltage) else None


@calculator(
    "voltage-code",
    formula="V = m(letter) 10^digit",
    sources=[
        Source("EIA and JIS voltage letter code, one public table", SECONDARY),
        Source("a capacitor maker's SMD series sheet: 0J, 1A, 1C, 1E, 1V, 1H"),
        Source("1N = 75 V, a maker's order code list", SECONDARY),
        Source("0E, 1D and 3B, by the rule", ARITHMETIC),
        Source("a lone letter with its digit left out", MEMORY),
    ],
    cautions=[
        NO_PROOF,
        "These are direct-voltage ratings: never use the code to judge a mains capacitor.",
    ],
    gives={"voltage": "rated direct voltage", "code": "how it is marked"},
    fits=_fits,
)
def voltage_code(
    code: Annotated[str | None, "a digit and a letter, as in 1H"] = None,
    voltage: Annotated[Volts | None, "to find its code instead", above(0, 100e3)] = None,
) -> Answer:
    """What voltage does 1H, 0J or 2G on a capacitor mean, or how is this voltage marked?

    The letter gives the leading figures, the digit the power of ten. A lone letter on a
    tantalum or an SMD can often has the same meaning with the digit left out, but that is each
    maker's own: it is only likely. A tolerance letter J, K or M that follows the capacitance is
    something else.

    Example: 1H is 5.0 times 10, that is 50 V; 0J is 6.3 V; 2G is 400 V.
    """
    typed, wanted = either(code, voltage, "voltage", command="voltage-code")
    if typed is not None and len(typed) == 1:
        return _lone(typed)
    if typed is not None:
        return _answer(decode(typed), typed.upper())
    assert wanted is not None
    mark = encode(wanted)
    if mark is None:
        near = sorted(_codes().items(), key=lambda pair: abs(pair[1] - wanted))[:4]
        text = show(wanted, VOLTS, digits=6)
        raise CalculationError(
            f"{text} has no code of its own",
            input="voltage",
            read=text,
            choices=[f"{one} = {show(value, VOLTS)}" for one, value in near],
        )
    return _answer(wanted, mark)


def _lone(letter: str) -> Answer:
    if letter not in _LONE:
        known = ", ".join(_LONE)
        raise unknown(letter, f"a digit and a letter are wanted, as in 1H; alone: {known}")
    found = _LONE[letter]
    likely = f"likely {show(found, VOLTS)}: a lone letter is each maker's own ({MEMORY})"
    return _answer(found, letter, likely)


def _answer(voltage: float, code: str, *assumptions: str) -> Answer:
    values = [Value("voltage", voltage, VOLTS), Value("code", code)]
    return Answer(values, assumptions=assumptions)
