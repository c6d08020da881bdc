"""Reading what is stamped on a fuse.

marking = parts in any order, run together or apart: T2AL250V, F 500 mA L 250 V 5x20 mm
part    = current | voltage | size | standard | characteristic | breaking capacity
current = number ["m"] "A" | digits "A" digits
letters = characteristic FF F M T TT, from very quick to very slow; breaking capacity L E H
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NoReturn

from fixbook.api import CalculationError

CHARACTERISTICS = ("FF", "F", "M", "T", "TT")
"""From the quickest to the slowest."""
BREAKING = ("L", "E", "H")
"""From the lowest breaking capacity to the highest."""
_WORDS = {
    "SLOW": "T", "SLO": "T", "LAG": "T", "TIME": "T", "DELAY": "T", "FAST": "F", "QUICK": "F",
}  # fmt: skip
_EMPTY_WORDS = {"BLOW", "BLO", "ACTING", "FUSE", "GLASS", "CERAMIC", "MM", "AC", "DC", "STANDARD"}
_NUMBER = r"\d+(?:[.,]\d+)?"
_STANDARD = r"\b(?:(IEC|EN|DIN)[\s-]*(?:60)?(?:127)?(?:-\d)?|(UL)[\s-]*(?:248(?:-14)?)?)\b"
_SIZE = rf"({_NUMBER})\s*[X\u00d7]\s*({_NUMBER})(?:\s*MM)?"
_VOLTS = rf"({_NUMBER})\s*V(?:AC|DC|~)?(?![A-Z])"
_CODE_AMPS = r"(\d+)A(\d+)"
_AMPS = rf"({_NUMBER})\s*(M?)A(?:MPS?)?"


@dataclass(frozen=True, slots=True)
class Marking:
    """What a fuse says about itself; None where it says nothing."""

    text: str
    amps: float
    characteristic: str | None
    breaking: str | None
    volts: float | None
    size: str | None
    standard: str | None
    """IEC or UL."""
    assumed: bool
    """True where the standard was taken from the letters."""


def read_marking(text: str, name: str) -> Marking:
    """Read a marking; CalculationError, which names the input, where part of it is unknown."""
    left = " ".join(text.upper().split())
    left, standard = _take(left, _STANDARD)
    left, size = _take(left, _SIZE)
    left, volts = _take(left, _VOLTS)
    left, code = _take(left, _CODE_AMPS)
    left, amps = _take(left, _AMPS)
    if code is None and amps is None:
        _refuse(text, name, "it states no current", ["T 2 A L 250 V"])
    if code is not None and amps is not None:
        _refuse(text, name, "it states two currents")
    characteristic, breaking = _letters(left, text, name)
    number = f"{code[1]}.{code[2]}" if code else amps[1].replace(",", ".") if amps else "0"
    scale = 1e-3 if amps and amps[2] else 1.0
    current = round(float(number) * scale, 12)
    if not 1e-3 <= current <= 1000:
        _refuse(text, name, "its current is not between 1 mA and 1000 A")
    family = ("IEC" if standard[1] else "UL") if standard else None
    lettered = characteristic is not None or breaking is not None
    return Marking(
        text=text,
        amps=current,
        characteristic=characteristic,
        breaking=breaking,
        volts=float(volts[1].replace(",", ".")) if volts else None,
        size="x".join(f"{float(one.replace(',', '.')):g}" for one in size.groups())
        if size
        else None,
        standard=family or ("IEC" if lettered else None),
        assumed=family is None and lettered,
    )


def _take(text: str, pattern: str) -> tuple[str, re.Match[str] | None]:
    """Take the first match out of a text; a blank stays in its place."""
    found = re.search(pattern, text)
    if found is None:
        return text, None
    return f"{text[: found.start()]} {text[found.end() :]}", found


def _letters(left: str, text: str, name: str) -> tuple[str | None, str | None]:
    characteristics, breaking = set(), set()
    for word in re.findall(r"[^\s,;/()-]+", left):
        if word in CHARACTERISTICS or word in _WORDS:
            characteristics.add(_WORDS.get(word, word))
        elif word in BREAKING:
            breaking.add(word)
        elif word not in _EMPTY_WORDS:
            _refuse(text, name, f"{word} is unknown in it", [*CHARACTERISTICS, *BREAKING])
    if len(characteristics) > 1 or len(breaking) > 1:
        _refuse(text, name, "it states two characteristics or two breaking capacities")
    return next(iter(characteristics), None), next(iter(breaking), None)


def _refuse(text: str, name: str, why: str, choices: list[str] | None = None) -> NoReturn:
    raise CalculationError(
        f"{name} of {text!r} cannot be read as a fuse marking: {why}; write it as T 2 A L 250 V: "
        "characteristic, current, breaking capacity, voltage",
        input=name,
        read=text,
        choices=choices or [],
    )
