"""Two characters on tiny capacitors: a letter and a digit."""

from __future__ import annotations

import re
from typing import Annotated

from fixbook.api import FARADS, MEMORY, Answer, Source, Value, calculator

from ._marking import NO_PROOF, clean, unknown

# a service manual's table for capital letters, in picofarad; the small ones from memory
_MANTISSAS = {
    "A": "1.0", "B": "1.1", "C": "1.2", "D": "1.3", "E": "1.5", "F": "1.6", "G": "1.8",
    "H": "2.0", "J": "2.2", "K": "2.4", "L": "2.7", "M": "3.0", "N": "3.3", "P": "3.6",
    "Q": "3.9", "R": "4.3", "S": "4.7", "T": "5.1", "U": "5.6", "V": "6.2", "W": "6.8",
    "X": "7.5", "Y": "8.2", "Z": "9.1",
    "a": "2.5", "b": "3.5", "d": "4.0", "e": "4.5", "f": "5.0", "m": "6.0", "n": "7.0",
    "t": "8.0", "y": "9.0",
}  # fmt: skip


def decode(code: str) -> tuple[float, list[str]]:
    """Give the capacitance of a code and what it rests on; CalculationError where there is none."""
    if re.fullmatch("[A-Za-z]", code):
        raise unknown(code, "a letter without a digit is an older code with other figures")
    found = re.fullmatch(r"([A-Za-z])(\d)", code)
    if found is None:
        raise unknown(code, "a letter and a digit are wanted, as in S3")
    letter, digit = found.groups()
    if letter not in _MANTISSAS:
        raise unknown(code, f"{letter} stands for no figures; it is {', '.join(_MANTISSAS)}")
    if digit == "8":
        raise unknown(code, "a digit of 8 has no known meaning")
    power = -1 if digit == "9" else int(digit)
    doubts = [f"small letter {letter} ({MEMORY})"] if letter.islower() else []
    doubts += [f"digit 9 as a tenth ({MEMORY})"] if digit == "9" else []
    return float(f"{_MANTISSAS[letter]}e{power - 12}"), doubts


@calculator(
    "chip-capacitor-code",
    formula="C = m(letter) 10^digit pF",
    sources=[
        Source("a service manual, SMD capacitor identification table"),
        Source("IEC 60062 A1:2019 Annex B, catalogue text"),
        Source("small letters, and the digit 9 as a tenth", MEMORY),
    ],
    cautions=[NO_PROOF],
    gives={"capacitance": "what the code stands for"},
)
def chip_capacitor_code(
    code: Annotated[str, "a letter and a digit, as in S3; its case matters"],
) -> Answer:
    """What capacitance has a tiny ceramic marked A5 or S3?

    The letter gives the leading figures in picofarad, the digit the power of ten. Small letters
    mean other figures than capitals. An older code of one coloured letter without a digit uses
    different figures (H is 16 there): without the digit it is unknown, so measure. The same two
    characters can be a date code on another line of the marking.

    Example: E1 is 1.5 times 10, that is 15 pF; S3 is 4.7 nF.
    """
    mark = clean("code", code)
    capacitance, doubts = decode(mark)
    return Answer(
        [Value("capacitance", capacitance, FARADS)],
        assumptions=doubts,
        notes=["on another line of a marking it could be a date code"],
    )
