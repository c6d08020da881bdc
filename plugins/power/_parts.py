"""What a write-up says of a resistor or a wire, as texts that these calculators read."""

from __future__ import annotations

import re

from fixbook.api import OHMS, Kind, Part, QuantityError, read

_OHMS = r"\d+(?:[.,]\d+)? ?[kM]?(?:m(?=ohm))?ohm\b|\b\d+[RkM]\d*\b"


def resistance_of(part: Part) -> str | None:
    """Give the one resistance of a part that is a resistor; None where there is no such."""
    return only(part.value, OHMS, _OHMS) if "resistor" in part.is_.lower() else None


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
