"""What a write-up says of an aluminium capacitor, as texts that these calculators read."""

from __future__ import annotations

import re
from collections.abc import Mapping

from fixbook.api import (
    FARADS,
    HERTZ,
    OHMS,
    VOLTS,
    Entry,
    Part,
    Target,
    leading_quantity,
    read,
    whole_quantity,
)

_FARADS = r"\d+(?:[.,]\d+)? ?[pnu]F\b"
_VOLTS = r"\d+(?:[.,]\d+)? ?V\b"
_HERTZ = r"\d+(?:[.,]\d+)? ?k?Hz\b"
_OTHER_KINDS = ("film", "ceramic", "tantalum", "polymer", "solid", "mica", "class x", "class y")
_LOW_IMPEDANCE = re.compile(r"low[- ](?:esr|impedance)")
_SURFACE_MOUNT = re.compile(r"surface[- ]mount")
_LEAST_F, _MOST_F = 1e-7, 0.1
_LEAST_V, _MOST_V = 4.0, 450.0


def capacitance_of(part: Part) -> str | None:
    """Give the capacitance of an aluminium electrolytic, as typed; None where there is none."""
    what = part.is_.lower()
    if "electrolytic" not in what or any(word in what for word in _OTHER_KINDS):
        return None
    return leading_quantity(part.value, FARADS, _FARADS)


def size_of(where: Target | Part, entry: Entry) -> dict[str, str] | None:
    """Give `capacitance`, `rated_voltage` and, where it is no radial part, `record`.

    For a target that reads ESR, those of the one electrolytic among the entry's parts that
    states both, or those that its own name and note state. None for a low-impedance part too:
    the general limits are far too generous for it.
    """
    if isinstance(where, Part):
        sizes = [_size_of_part(where)]
    elif where.reads == "esr":
        found = [_size_of_part(part) for part in entry.parts]
        sizes = [one for one in found if one] or [_size_in(f"{where.name}; {where.note}")]
    else:
        return None
    return sizes[0] if len(sizes) == 1 else None


def frequency_of(target: Target) -> str | None:
    """Give the one frequency that a target is read at."""
    found = set(re.findall(_HERTZ, f"{target.name}; {target.at}"))
    return whole_quantity(found.pop(), HERTZ) if len(found) == 1 else None


def capacitance_and_esr(where: Target | Part) -> Mapping[str, str] | None:
    """Give `capacitance` and `esr` of a part that states both as plain quantities."""
    if not isinstance(where, Part):
        return None
    capacitance, esr = capacitance_of(where), whole_quantity(where.esr, OHMS)
    return {"capacitance": capacitance, "esr": esr} if capacitance and esr else None


def _size_of_part(part: Part) -> dict[str, str] | None:
    marked = re.findall(_VOLTS, part.value)
    volts = leading_quantity(part.volts, VOLTS, _VOLTS) or (marked[0] if len(marked) == 1 else None)
    return _size(capacitance_of(part), volts, f"{part.is_}; {part.esr}")


def _size_in(words: str) -> dict[str, str] | None:
    capacitances, volts = set(re.findall(_FARADS, words)), set(re.findall(_VOLTS, words))
    if len(capacitances) != 1 or len(volts) != 1:
        return None
    return _size(capacitances.pop(), volts.pop(), words)


def _size(capacitance: str | None, volts: str | None, words: str) -> dict[str, str] | None:
    if not capacitance or not volts or _LOW_IMPEDANCE.search(words.lower()):
        return None
    rated = read(volts, VOLTS).value
    fits = _LEAST_F <= read(capacitance, FARADS).value <= _MOST_F and _LEAST_V <= rated <= _MOST_V
    if not fits:
        return None
    size = {"capacitance": capacitance, "rated_voltage": volts}
    if _SURFACE_MOUNT.search(words.lower()) and rated <= 50:
        size["record"] = "smd-85"
    return size
