"""Tolerance letters of IEC 60062."""

from __future__ import annotations

from typing import NamedTuple

from fixbook.api import MEMORY, RATIO, show

# per cent either way; B to M from several public tables, the others from memory
_SYMMETRIC = {
    "E": 0.005, "L": 0.01, "P": 0.02, "W": 0.05, "B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0,
    "G": 2.0, "H": 3.0, "J": 5.0, "K": 10.0, "M": 20.0, "N": 30.0,
}  # fmt: skip
# capacitors alone, per cent down and up
_ASYMMETRIC = {"Q": (10.0, 30.0), "T": (10.0, 50.0), "S": (20.0, 50.0), "Z": (20.0, 80.0)}
# below 10 pF, in picofarad either way
_ABSOLUTE = {"B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0}
_FROM_MEMORY = frozenset("ELPWNQTS")
_ABSOLUTE_FROM_MEMORY = frozenset("BFG")


class Marked(NamedTuple):
    """What a tolerance letter says about a value."""

    low: float
    """The lowest value, in the unit of the value."""
    high: float
    text: str
    """As a person reads it: `+-5 %`, `-20/+80 %`, `+-0.25 pF`."""
    share: float | None
    """The fraction either way; None where it is not the same both ways."""
    doubt: str = ""
    """Why the letter is not certain; empty where it is."""


def letters(*, capacitor: bool) -> frozenset[str]:
    """Give the letters that stand for a tolerance."""
    return frozenset(_SYMMETRIC) | (frozenset(_ASYMMETRIC) if capacitor else frozenset())


def marked(letter: str, value: float, *, capacitor: bool) -> Marked | None:
    """Read a tolerance letter that follows a value in ohms or farads; None for no such letter."""
    if capacitor and value < 10e-12 * (1 - 1e-9) and letter in _ABSOLUTE:
        spread = float(f"{_ABSOLUTE[letter]}e-12")
        doubt = _doubt(letter, letter in _ABSOLUTE_FROM_MEMORY)
        text = f"+-{_ABSOLUTE[letter]:g} pF"
        share = spread / value if value else None
        return Marked(max(0.0, value - spread), value + spread, text, share, doubt)
    doubt = _doubt(letter, letter in _FROM_MEMORY)
    if letter in _SYMMETRIC:
        share = _SYMMETRIC[letter] / 100
        text = f"+-{show(share, RATIO)}"
        return Marked(value * (1 - share), value * (1 + share), text, share, doubt)
    if capacitor and letter in _ASYMMETRIC:
        minus, plus = _ASYMMETRIC[letter]
        text = f"-{minus:g}/+{plus:g} %"
        return Marked(value * (1 - minus / 100), value * (1 + plus / 100), text, None, doubt)
    return None


def _doubt(letter: str, doubtful: bool) -> str:
    return f"tolerance letter {letter}: {MEMORY}" if doubtful else ""
