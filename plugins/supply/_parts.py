"""What a write-up says of a capacitor or a cell, as texts that these calculators read."""

from __future__ import annotations

import re

from fixbook.api import FARADS, VOLTS, Kind, Part, QuantityError, Target, read, show

_FARADS = r"\d+(?:[.,]\d+)? ?[pnu]F\b"
_VOLTS = r"\d+(?:[.,]\d+)? ?k?V\b"


def capacitance_of(part: Part) -> str | None:
    """Give the one capacitance of a part that is a capacitor; None where there is no such."""
    is_capacitor = "capacitor" in part.is_.lower() or "electrolytic" in part.is_.lower()
    return only(part.value, FARADS, _FARADS) if is_capacitor else None


def voltage_of(part: Part) -> str | None:
    """Give the one voltage that a part states, in `volts` or else in its value."""
    return only(part.volts, VOLTS, _VOLTS) or only(part.value, VOLTS, _VOLTS)


def only(text: str, kind: Kind, pattern: str) -> str | None:
    """Give the one quantity that a text states; None where it states none or several.

    It stands at the beginning, or after a comma or semicolon: `often below 1 ohm` states none.
    """
    found = set(re.findall(pattern, text))
    if len(found) != 1:
        return None
    typed: str = found.pop()
    if not any(piece.strip().startswith(typed) for piece in re.split(r"[;(]|, ", text)):
        return None
    try:
        read(typed, kind)
    except QuantityError:
        return None
    return typed


def highest_of(target: Target) -> str | None:
    """Give the high end of a target's only window; None where there are several or no such end."""
    if len(target.windows) != 1 or not target.windows[0].high:
        return None
    return show(target.windows[0].high, target.kind, digits=12)
