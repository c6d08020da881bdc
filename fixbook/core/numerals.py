"""Decimal numbers as people write them, kept as digits until they are turned into a float once.

    number   = digits [("." | ",") digits] [exponent] | ("." | ",") digits [exponent]
    digits   = digit+ | 1-3 digits, then groups of a blank and three digits
    exponent = ("e" | "E") ["+" | "-"] digit{1,3}

One comma is a decimal mark, unless exactly three digits follow a whole part that is not zero:
`1,000` could be one or a thousand. A comma and a dot together are always refused.
"""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.core.units import Unit
from fixbook.errors import QuantityError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import NoReturn

DIGITS = frozenset("0123456789")
_NUMERAL = DIGITS | frozenset("., ")


@dataclass(frozen=True, slots=True)
class Number:
    """`digits` times ten to `exponent`."""

    digits: int
    exponent: int = 0
    notes: tuple[str, ...] = ()


def split_numeral(text: str) -> tuple[str, str]:
    """Split a text after the digits, marks and blanks that it begins with; the rest keeps its
    leading blank where there was one."""
    end = next((at for at, letter in enumerate(text) if letter not in _NUMERAL), len(text))
    numeral = text[:end].rstrip()
    return numeral, text[len(numeral) :]


def split_exponent(rest: str) -> tuple[str, str]:
    """Split a leading exponent off what follows a numeral; an empty one where there is none."""
    start = 2 if rest[1:2] in ("+", "-") else 1
    if rest[:1] not in ("e", "E") or rest[start : start + 1] not in DIGITS:
        return "", rest
    end = start + len(leading_digits(rest[start:]))
    return rest[:end], rest[end:]


def leading_digits(text: str) -> str:
    """Give the digits that a text begins with."""
    end = next((at for at, letter in enumerate(text) if letter not in DIGITS), len(text))
    return text[:end]


def read_numeral(numeral: str, exponent: str = "") -> Number:
    """Read a numeral; QuantityError, with other numerals as choices, where it is in doubt."""
    commas, dots = numeral.count(","), numeral.count(".")
    if commas and dots:
        _refuse(f"{numeral} has a comma and a dot", _last_mark(numeral))
    if commas > 1 or dots > 1:
        _refuse(f"{numeral} has more than one decimal mark", _grouped(numeral))
    whole, mark, fraction = numeral.replace(",", ".").partition(".")
    groups = whole.split(" ")
    if " " in fraction or (len(groups) > 1 and not _are_thousands(groups)):
        _refuse(f"{numeral} is more than one number")
    whole = "".join(groups)
    if (mark and not fraction) or not whole + fraction:
        _refuse(f"{numeral} is no complete number", [whole])
    if commas and len(fraction) == 3 and whole.strip("0"):
        small, large = plain(int(whole + fraction), -3), f"{whole}{fraction}"
        _refuse(f"{numeral} could be {small} or {large}", [small, large])
    power = exponent[1:]
    if len(power.lstrip("+-")) > 3:
        _refuse(f"{numeral}{exponent} is out of all proportion")
    notes = ("comma read as decimal",) if commas else ()
    return Number(int(whole + fraction), int(power or 0) - len(fraction), notes)


def to_float(number: Number, prefix_exponent: int, unit: Unit) -> float:
    """Turn a number of a unit into a float, rounding once; infinite where it is too large."""
    digits = number.digits * unit.factor
    exponent = number.exponent + prefix_exponent + unit.exponent
    if unit.offset:
        common = min(exponent, -2)
        digits = digits * 10 ** (exponent - common) - unit.offset * 10 ** (-2 - common)
        exponent = common
    return float(f"{digits}e{exponent}")


def plain(digits: int, exponent: int) -> str:
    """Write digits times ten to exponent without an exponent, as short as possible."""
    sign, text = ("-" if digits < 0 else ""), str(abs(digits))
    if exponent >= 0:
        return sign + (text + "0" * exponent if digits else "0")
    text = text.zfill(1 - exponent)
    whole, fraction = text[:exponent], text[exponent:].rstrip("0")
    return f"{sign}{whole}.{fraction}" if fraction else sign + whole


def _are_thousands(groups: list[str]) -> bool:
    return 1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])


def _last_mark(numeral: str) -> list[str]:
    """Give the readings of a numeral with both marks, first the one whose last mark is decimal."""
    last = max(numeral.rfind(","), numeral.rfind("."))
    other = "," if numeral[last] == "." else "."
    readings = _grouped(numeral[:last], other)
    choices = [f"{whole}.{numeral[last + 1 :]}" for whole in readings]
    if numeral.count(numeral[last]) == numeral.count(other) == 1:
        first = min(numeral.find(","), numeral.find("."))
        after = _grouped(numeral[first + 1 :], numeral[last])
        choices += [f"{numeral[:first]}.{fraction}" for fraction in after]
    return choices


def _grouped(text: str, mark: str = "") -> list[str]:
    """Give the text without its marks, where they part it into thousands."""
    mark = mark or ("," if "," in text else ".")
    groups = text.split(mark)
    return ["".join(groups)] if _are_thousands(groups) else []


def _refuse(why: str, choices: Iterable[str] = ()) -> NoReturn:
    raise QuantityError(why, choices=tuple(dict.fromkeys(choices)))
