"""Quantities written for people: rounded (`show`), in words (`echo`), or exactly (`exact`).

Units are plain ASCII, so that they print on any terminal and can be typed back.
quantiphy chooses the prefix and rounds. It is imported at the first use, since that costs more
than a bare interpreter, and through a subclass, since other libraries change its base class.
"""

from __future__ import annotations

from fixbook.core.numerals import Number, plain, to_float
from fixbook.core.units import PREFIXES, SPOKEN_PREFIXES, Unit, find_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from fixbook.core.quantity import Kind, Quantity

_LONGEST_PLAIN = 12
"""Whole places beyond which a number is written with an exponent."""
_SMALLEST_PLAIN = -4
"""The same for a fraction: 0.0001 is plain, 0.00001 is 1e-5."""
_NO_UNIT = Unit("", "")
_TIME_LIMITS = (("s", 120.0), ("min", 7200.0), ("h", 172_800.0), ("d", 63_115_200.0))


def show(value: float, kind: Kind, *, digits: int = 4) -> str:
    """Write a value to so many significant digits: `4.7 kohm`, `100 nF`, `2 h`, `105 degC`.

    Whole places are never rounded away: 12345 hours stay `12345 h`.
    """
    value = float(value) + 0.0  # no minus before a zero
    if not abs(value) < float("inf"):
        return "no finite value"
    unit = _shown_unit(value, kind)
    if unit.factor == 1 and value:
        prefix = _prefix_for(value, kind, digits)
        if prefix is None:
            return _render(value, unit.symbol, _shown_prefixes(kind), digits)
    else:
        prefix = ""
    shift = -PREFIXES[prefix] - unit.exponent
    number = _number_text(*_rounded(value / unit.factor, digits, shift), shift)
    if prefix and "e" in number:
        prefix, number = "", _number_text(*_rounded(value, digits, 0), 0)
    return f"{number} {prefix}{unit.symbol}".rstrip()


def exact(value: float, kind: Kind) -> str:
    """Write a value, with its unit, in the shortest way that is read back as the same float.

    ValueError where it is not finite.
    """
    number, prefix, unit = _exact_parts(value, kind)
    return f"{number} {prefix}{unit.symbol}".rstrip()


def echo(quantity: Quantity) -> str:
    """Say a quantity in words, exactly: `4.7 kiloohm`, `2.2 megaohm`, `105 degrees Celsius`."""
    number, prefix, unit = _exact_parts(quantity.value, quantity.kind)
    spoken = unit.spoken.removesuffix("s") if number == "1" and unit.factor > 1 else unit.spoken
    return f"{number} {SPOKEN_PREFIXES[prefix]}{spoken}".rstrip()


def _exact_parts(value: float, kind: Kind) -> tuple[str, str, Unit]:
    value = float(value) + 0.0
    if not abs(value) < float("inf"):
        raise ValueError(f"{value} cannot be written exactly")
    digits, exponent = _decimal(value)
    shown = find_unit(kind.word, kind.shown) or _NO_UNIT
    if kind.word == "time":
        return _exact_time(value, shown, _shown_prefixes(kind))
    candidates = [
        (_number_text(digits, exponent, -PREFIXES[prefix] - shown.exponent), prefix, shown)
        for prefix in ["", *_shown_prefixes(kind)]
    ]
    return min(candidates, key=_unwieldy)


def _exact_time(value: float, shown: Unit, prefixes: str) -> tuple[str, str, Unit]:
    second = find_unit("time", "s") or _NO_UNIT
    digits, exponent = _decimal(value)
    candidates = [
        (_number_text(digits, exponent, -PREFIXES[prefix]), prefix, second)
        for prefix in ["", *prefixes]
    ]
    for symbol in ("min", "h", "d", "y"):
        unit = find_unit("time", symbol) or _NO_UNIT
        digits, exponent = _decimal(value / unit.factor)
        if to_float(Number(digits, exponent), 0, unit) == value:
            candidates.append((_number_text(digits, exponent, 0), "", unit))
    near = sorted(candidates, key=_unwieldy)
    wanted = [one for one in near if one[2] == shown and shown.factor > 1]
    is_handy = wanted and _length(wanted[0]) <= _length(near[0]) + 3
    return wanted[0] if is_handy else near[0]


def _length(parts: tuple[str, str, Unit]) -> int:
    number, prefix, unit = parts
    return len(number + prefix + unit.symbol)


def _unwieldy(parts: tuple[str, str, Unit]) -> tuple[bool, int, bool]:
    """Sort short texts first, and of equally short ones those from 1 to 999.

    Last come those with both an exponent and a prefix.
    """
    number, prefix, _ = parts
    whole = number.lstrip("-").partition(".")[0]
    is_double = "e" in number and prefix != ""
    return is_double, _length(parts), whole == "0" or len(whole) > 3


def _shown_prefixes(kind: Kind) -> str:
    if kind.shown != kind.unit and kind.word != "time":
        return ""
    if kind.word == "capacitance":
        return kind.prefixes.replace("m", "")
    return kind.prefixes if kind.unit else ""


def _prefix_for(value: float, kind: Kind, digits: int) -> str | None:
    """Choose the nearest prefix where the usual one is missing; None where it is there."""
    power = int(f"{value:.{max(digits, 1) - 1}e}".partition("e")[2])
    prefixes = ["", *_shown_prefixes(kind)]
    if len(prefixes) == 1:
        return ""
    if power // 3 * 3 in [PREFIXES[prefix] for prefix in prefixes]:
        return None
    if kind.word == "capacitance" and power in (-3, -2):
        return "u"  # 22000 uF, as it is printed on the can
    nearest: str = min(prefixes, key=lambda prefix: abs(PREFIXES[prefix] - power))
    return nearest


def _shown_unit(value: float, kind: Kind) -> Unit:
    symbol = kind.shown
    one = find_unit(kind.word, kind.shown) or _NO_UNIT
    if kind.word == "time" and (kind.shown == "s" or 0 < abs(value) < one.factor):
        limits = (unit for unit, limit in _TIME_LIMITS if abs(value) < limit)
        symbol = next(limits, "y")
    return find_unit(kind.word, symbol) or _NO_UNIT


def _decimal(value: float) -> tuple[int, int]:
    """Give the shortest decimal that is this float, as digits and exponent."""
    mantissa, _, power = repr(value).partition("e")
    whole, _, fraction = mantissa.partition(".")
    return int(whole + fraction), int(power or 0) - len(fraction)


def _rounded(value: float, digits: int, shift: int) -> tuple[int, int]:
    """Round to significant digits, but no whole places of what is shown: value times 10^shift."""
    places = int(f"{value:e}".partition("e")[2]) + 1 + shift
    mantissa, _, power = f"{value:.{max(digits, min(places, 15), 1) - 1}e}".partition("e")
    whole, _, fraction = mantissa.partition(".")
    return int(whole + fraction), int(power) - len(fraction)


def _number_text(digits: int, exponent: int, shift: int) -> str:
    """Write digits times ten to (exponent + shift), with an exponent where it would be long."""
    while digits and digits % 10 == 0:
        digits, exponent = digits // 10, exponent + 1
    exponent += shift
    size = len(str(abs(digits)))
    if not digits or (size + exponent > _SMALLEST_PLAIN and size + exponent <= _LONGEST_PLAIN):
        return plain(digits, exponent)
    return f"{plain(digits, 1 - size)}e{exponent + size - 1:+d}"


def _render(value: float, unit: str, prefixes: str, digits: int) -> str:
    from quantiphy import Quantity as Formatted

    class Shown(Formatted):
        pass

    Shown.set_prefs(output_sf=prefixes, spacer=" ", minus="-", radix=".", map_sf={})
    return str(Shown(value, unit).render(form="si", prec=digits - 1))
