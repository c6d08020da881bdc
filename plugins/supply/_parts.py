"""What a write-up says of a capacitor or a cell, as texts that these calculators read."""

from __future__ import annotations

from fixbook.api import FARADS, VOLTS, Part, Target, only_quantity, show

_FARADS = r"\d+(?:[.,]\d+)? ?[pnu]F\b"
_VOLTS = r"\d+(?:[.,]\d+)? ?k?V\b"


def capacitance_of(part: Part) -> str | None:
    """Give the one capacitance of a part that is a capacitor; None where there is no such."""
    is_capacitor = "capacitor" in part.is_.lower() or "electrolytic" in part.is_.lower()
    return only_quantity(part.value, FARADS, _FARADS) if is_capacitor else None


def voltage_of(part: Part) -> str | None:
    """Give the one voltage that a part states, in `volts` or else in its value."""
    return only_quantity(part.volts, VOLTS, _VOLTS) or only_quantity(part.value, VOLTS, _VOLTS)


def highest_of(target: Target) -> str | None:
    """Give the high end of a target's only window; None where there are several or no such end."""
    if len(target.windows) != 1 or not target.windows[0].high:
        return None
    return show(target.windows[0].high, target.kind, digits=12)
