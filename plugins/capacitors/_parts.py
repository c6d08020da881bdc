"""What a write-up says of a capacitor, as texts that these calculators read."""

from __future__ import annotations

import re

from fixbook.api import CELSIUS, FARADS, VOLTS, Part, leading_quantity

_FARADS = r"\d+(?:[.,]\d+)? ?[pnu]F\b"
_VOLTS = r"\d+(?:[.,]\d+)? ?V\b"
_CELSIUS = r"\d+ ?(?:degC|C)\b"
_FAMILIES: dict[str, str] = {
    "mains": r"class [xy]\d?\b|\b[xy][1-4]\b|safety capacitor",
    "tantalum": r"tantalum",
    "polymer": r"polymer|solid",
    "ceramic": r"ceramic|\bmlcc\b",
    "film": r"\bfilm\b|polypropylene|polyester|polystyrene|polycarbonate",
    "aluminium": r"aluminium|electrolytic",
}
_CLASS_1 = re.compile(r"\bc0g\b|\bnp0\b|class 1")
_ONE_FAMILY: dict[tuple[str, ...], str] = {
    ("mains",): "mains",
    ("mains", "film"): "mains",
    ("tantalum",): "tantalum-mno2",
    ("tantalum", "aluminium"): "tantalum-mno2",  # a tantalum electrolytic
    ("tantalum", "polymer"): "tantalum-polymer",
    ("tantalum", "polymer", "aluminium"): "tantalum-polymer",
    ("polymer",): "aluminium-polymer",
    ("polymer", "aluminium"): "aluminium-polymer",
    ("ceramic",): "ceramic-2",
    ("film",): "film",
    ("aluminium",): "aluminium",
}


def family_of(part: Part) -> str | None:
    """Give a capacitor's family; None where it is no capacitor, or could be of two families."""
    what = part.is_.lower()
    if not re.search(r"capacitor|electrolytic|tantalum|\bmlcc\b", what):
        return None
    found = tuple(name for name, pattern in _FAMILIES.items() if re.search(pattern, what))
    if re.search(r"\bor\b|\band\b", what) and len(found) > 1:
        return None
    family = _ONE_FAMILY.get(found)
    return "ceramic-1" if family == "ceramic-2" and _CLASS_1.search(what) else family


def capacitance_of(part: Part) -> str | None:
    """Give the capacitance, as typed; None where there is none, or more than one."""
    return leading_quantity(part.value, FARADS, _FARADS)


def volts_of(part: Part) -> str | None:
    """Give the rated voltage, as typed; None where there is none, or more than one."""
    marked = re.findall(_VOLTS, part.value)
    return leading_quantity(part.volts, VOLTS, _VOLTS) or (marked[0] if len(marked) == 1 else None)


def temperature_of(part: Part) -> str | None:
    """Give the temperature rating, as typed; None where there is none, or more than one."""
    return leading_quantity(part.temperature, CELSIUS, _CELSIUS)
