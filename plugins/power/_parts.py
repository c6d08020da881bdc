"""What a write-up says of a resistor or a wire, as texts that these calculators read."""

from __future__ import annotations

from fixbook.api import OHMS, Part, only_quantity

_OHMS = r"\d+(?:[.,]\d+)? ?[kM]?(?:m(?=ohm))?ohm\b|\b\d+[RkM]\d*\b"


def resistance_of(part: Part) -> str | None:
    """Give the one resistance of a part that is a resistor; None where there is no such."""
    return only_quantity(part.value, OHMS, _OHMS) if "resistor" in part.is_.lower() else None
