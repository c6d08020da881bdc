"""What stands on a part, as somebody typed it: `4700 uF 35 V 105 C`."""

from __future__ import annotations

import re
from dataclasses import replace

from fixbook.api import (
    ANY,
    CELSIUS,
    FARADS,
    VOLTS,
    FixbookError,
    Kind,
    Part,
    read,
    show,
)

from .errors import KitError

FORM = "4700 uF 35 V 105 C"
_CAPACITOR = re.compile(r"capacitor|electrolytic|tantalum|mlcc", re.IGNORECASE)
_APART = re.compile(r"[;/\s]+|(?<!\d),|,(?!\d)")
_FIELDS = (("value", FARADS, ""), ("volts", VOLTS, "v"), ("temperature", CELSIUS, "c"))
"""A figure's field, its kind, and the letter without which it would be a bare number."""
_MORE = ("s", "Hz", "m", "ohm", "A")
"""Units of what else stands on a capacitor: its life, its size, its ESR and ripple current."""
_LONGEST = 3
"""Words of one figure: `105 deg C`."""


def as_marked(part: Part, text: str, place: str) -> Part:
    """Give the part with what is printed on it: value, rated voltage, temperature.

    On a capacitor each figure is known by its unit; other parts have the text as their value.
    KitError for a figure that nothing can be made of.
    """
    if not _CAPACITOR.search(part.is_):
        return replace(part, value=" ".join(text.split()).strip(" ,;/") or part.value)
    words = [word for word in _APART.split(text) if word]
    found: dict[str, str] = {}
    rest: list[str] = []
    while words:
        name, count = _figure(words, found)
        figure = " ".join(words[:count])
        if name:
            found[name] = _as_written(name, figure)
        elif figure[0].isdigit() and not _is_quantity(figure):
            raise _not_understood(figure, text, place)
        else:
            rest.append(figure)
        words = words[count:]
    if rest:  # behind a comma, where the value ends
        found["value"] = f"{found.get('value', part.value)}, {' '.join(rest)}"
    return replace(part, **found)  # type: ignore[arg-type]


def _figure(words: list[str], found: dict[str, str]) -> tuple[str, int]:
    """Give the field that the first words are for, and how many they are; empty: none."""
    for count in range(min(_LONGEST, len(words)), 0, -1):
        figure = " ".join(words[:count])
        for name, kind, letter in _FIELDS:
            if name not in found and letter in figure.lower() and _is_read(figure, kind):
                return name, count
    return "", 2 if len(words) > 1 and _is_quantity(" ".join(words[:2])) else 1


def _as_written(name: str, figure: str) -> str:
    """Give a figure as write-ups and stock lists have it: `35 V` for 35v, `6.3 V` for 6V3."""
    if "ac" in figure.lower() or "~" in figure:
        return figure  # that it alternates would be lost
    kind = next(kind for field, kind, _ in _FIELDS if field == name)
    return show(read(figure, kind).value, kind, digits=6)


def _is_quantity(figure: str) -> bool:
    """Say whether a figure is understood, though no field is for it: `20 %`, `2000 h`, `10x16`."""
    if "%" in figure or re.match(r"\d+(?:[.,]\d+)?x\d", figure):
        return True
    return _is_read(figure, ANY) and read(figure, ANY).unit in _MORE


def _is_read(figure: str, kind: Kind) -> bool:
    try:
        read(figure, kind)
    except FixbookError:
        return False
    return True


def _not_understood(figure: str, text: str, place: str) -> KitError:
    return KitError(
        f"{figure!r} in what is marked on {place}, {text!r}, is not understood",
        hint=f"give each figure its unit, and once, as in {FORM}",
        input="--marked",
        read=text,
    )
