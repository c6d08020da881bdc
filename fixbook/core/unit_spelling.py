"""How units are spelt in a book, and mending what is spelt another way without changing a value.

A prefix is never touched where its letter has two meanings: m and M stay what they are.
"""

from __future__ import annotations

import re
from functools import partial

from fixbook.core.quantity import AMPS, CELSIUS, FARADS, HERTZ, OHMS, VOLTS, Kind
from fixbook.core.reading import read
from fixbook.errors import QuantityError

_SPELT: tuple[tuple[str, str, Kind], ...] = (
    (r"([mMkK]?) ?(?:ohms|Ohms?|OHMS?)", "ohm", OHMS),
    (r"([K]) ?ohms?", "ohm", OHMS),
    (r"([unp]) ?f", "F", FARADS),
    (r"(u)(?:FD|fd)", "F", FARADS),
    (r"([kK])(?:hz|HZ)|([K])Hz", "Hz", HERTZ),
    (r"()(?:hz|HZ|hertz|Hertz)", "Hz", HERTZ),
    (r"([mk]?)v|([mk]?) ?(?:volts?|Volts?)", "V", VOLTS),
    (r"([K])V", "V", VOLTS),
    (r"([mu])a|([mu]?) ?(?:amps?|Amps?)", "A", AMPS),
    (r"()(?:deg\.? C|° ?C|celsius)", "degC", CELSIUS),
)
_RULES = tuple(
    (re.compile(rf"(?<![\w.])(\d[\d.,]*)( ?)(?:{spelt})(?!\w)"), unit, kind)
    for spelt, unit, kind in _SPELT
)


def spell_units(text: str) -> str:
    """Give a text with its units as books spell them; the same text where nothing is to mend."""
    for pattern, unit, kind in _RULES:
        text = pattern.sub(partial(_mend, unit=unit, kind=kind), text)
    return text


def _mend(found: re.Match[str], *, unit: str, kind: Kind) -> str:
    number, blank, *prefixes = found.groups()
    prefix = next((one for one in prefixes if one), "").replace("K", "k")
    mended = f"{number}{blank or ' '}{prefix}{unit}"
    return mended if _is_same(found[0], mended, kind) else found[0]


def _is_same(old: str, new: str, kind: Kind) -> bool:
    after = _value(new, kind)
    before = _value(old, kind)
    return after is not None and (before is None or before == after)


def _value(text: str, kind: Kind) -> float | None:
    try:
        return read(text, kind).value
    except QuantityError:
        return None
