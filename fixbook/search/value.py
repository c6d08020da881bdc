"""One form for a value, however it was written: `33uF`, `33 µF`, `33u`, `33 MFD`, `0.033 mF`.

This only serves to find: it never says what a value is worth, and where the trade's habits are
ambiguous it takes the usual reading. The form is `=` mantissa `e` exponent and a kind, as in
`=33e-6F`; it cannot be mistaken for a word.
"""

from __future__ import annotations

import re

_BASES = {
    "F": "farads|farad|fd|f",
    "H": "henries|henry|h",
    "V": "volts|volt|vrms|vac|vdc|vpp|vp-p|v",
    "A": "amperes|ampere|amps|amp|a",
    "W": "watts|watt|w",
    "Hz": "hertz|cps|hz",
    "ohm": "ohms|ohm|r",
    "VA": "va",
    "Ah": "ah",
    "s": "seconds|second|secs|sec|s",
    "dB": "db",
    "%": "percent|per cent|%",
    "degC": "degc|deg c|celsius|c",
    "mm": "mm",
    "rpm": "rpm",
}
_KIND = {word: kind for kind, words in _BASES.items() for word in words.split("|")}
_PREFIXES = {
    "pico": -12, "p": -12, "nano": -9, "n": -9, "micro": -6, "u": -6, "milli": -3, "m": -3,
    "kilo": 3, "k": 3, "mega": 6, "meg": 6, "g": 9,
}  # fmt: skip
_NO_MILLI = {"Hz"}
_NO_MEGA = {"V", "A", "W", "H", "s", "VA", "Ah", "F"}

_BASE_WORDS = "|".join(sorted(map(re.escape, _KIND), key=len, reverse=True))
UNIT = (
    rf"(?:mmfd|mfd|(?:pico|nano|micro|milli|kilo|mega|meg|[pnumkgM])\ ?(?:{_BASE_WORDS})"
    rf"|meg|{_BASE_WORDS}|[pnuk]|(?-i:M))"
)
"""What may follow a number; to be matched without regard to case."""

_VALUE = re.compile(rf"([+-]?)(\d+(?:[.,]\d+)*)\s?({UNIT})", re.IGNORECASE)
_LETTER_POINT = re.compile(r"(\d*)([rkmunpvfhg])(\d{1,2})", re.IGNORECASE)
_SPLIT = re.compile(
    rf"(pico|nano|micro|milli|kilo|mega|meg|[pnumkg])?\ ?({_BASE_WORDS})?", re.IGNORECASE
)
_LETTER_KIND = {"r": "ohm", "k": "ohm", "m": "ohm", "g": "ohm", "v": "V"}


def value_forms(written: str) -> tuple[str, ...]:
    """Give the form of a number with its unit; a negative one gives its size as well.

    Empty where it is no such thing.
    """
    found = _VALUE.fullmatch(written)
    if not found:
        return ()
    sign, number, unit = found.groups()
    scale, kind = _read_unit(unit)
    form = _form(number, scale, kind)
    return (form, "-" + form) if sign == "-" else (form,)


def letter_point_forms(written: str) -> tuple[str, ...]:
    """Read `4k7`, `4u7`, `0R22`, `R47`, `5V1`; a part number of that shape gives a form as well."""
    found = _LETTER_POINT.fullmatch(written)
    if not found:
        return ()
    whole, letter, rest = found.groups()
    low = letter.lower()
    if not whole and low != "r":
        return ()
    if letter == "m":
        scale, kind = -3, "H"
    else:
        scale = 6 if low == "m" else _PREFIXES.get(low, 0)
        kind = low.upper() if low in "fh" else _LETTER_KIND.get(low, "F")
    return (_form(f"{whole or 0}.{rest}", scale, kind),)


def number_form(written: str) -> str:
    """Give the form of a decimal number without a unit, such as `5.1`."""
    return _form(written, 0, "")


def _read_unit(unit: str) -> tuple[int, str]:
    low = unit.lower().strip()
    if low in ("mfd", "mmfd"):
        return (-6 if low == "mfd" else -12), "F"
    if low in _KIND:
        return 0, _KIND[low]
    found = _SPLIT.fullmatch(unit)
    prefix, base = (found.group(1) or "", found.group(2)) if found else ("", None)
    scale = _PREFIXES.get(prefix.lower(), 0)
    if base is None:
        return (6, "ohm") if prefix == "M" else (scale, "F" if scale < 0 else "ohm")
    kind = _KIND[base.lower()]
    if prefix == "M":
        # Nobody at a bench writes a megavolt, and old capacitors say MF for microfarad.
        return (-6 if kind == "F" else -3 if kind in _NO_MEGA else 6), kind
    return (6 if prefix == "m" and kind in _NO_MILLI else scale), kind


def _form(number: str, scale: int, kind: str) -> str:
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", number):
        number = number.replace(",", "")
    whole, _, rest = number.replace(",", ".").partition(".")
    rest = rest.replace(".", "")
    digits = (whole + rest).lstrip("0")
    mantissa = digits.rstrip("0")
    if not mantissa:
        return f"=0{kind}"
    return f"={mantissa}e{scale - len(rest) + len(digits) - len(mantissa)}{kind}"
