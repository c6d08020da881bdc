"""One value of a kind, read from a plain text. `fixbook.core.reading` is the front door."""

from __future__ import annotations

import sys
from dataclasses import dataclass

from fixbook.core import doubts
from fixbook.core.numerals import (
    DIGITS,
    Number,
    leading_digits,
    plain,
    read_numeral,
    split_exponent,
    split_numeral,
    to_float,
)
from fixbook.core.quantity import ANY, KINDS, NUMBER, Kind, Quantity
from fixbook.core.units import PREFIX_WORDS, PREFIXES, Unit, UnitText, find_unit, take_apart
from fixbook.errors import QuantityError

_SMALLEST = sys.float_info.min  # below it a float loses digits
_CODE_PREFIXES = {"K": "k", "L": "m"}
_CODE_KINDS = {"R": "ohms", "V": "volts", "A": "amps", "W": "watts", "F": "farads", "H": "henries"}
_NONE = Unit("", "")


@dataclass(frozen=True, slots=True)
class Parsed:
    """A value, and what it was written with, so that the other end of a range can take it over."""

    quantity: Quantity
    prefix: str
    """A letter of PREFIXES; empty where there is none."""
    unit: str
    """Symbol of the unit, also where it was assumed."""
    bare: bool
    """True where neither prefix nor unit was typed."""


def parse_value(text: str, kind: Kind) -> Parsed:
    """Read one value from a plain text.

    QuantityError where it cannot be read; its choices are likely readings, not yet tried.
    """
    doubts.refuse_no_number(text, kind)
    doubts.refuse_tolerance(text, kind)
    doubts.refuse_fraction(text)
    sign = text[0] if text[0] in "+-" else ""
    body = text[len(sign) :].lstrip()
    numeral, rest = split_numeral(body)
    if rest[1:2] in DIGITS and rest[1:] and not set(numeral) - DIGITS and rest[0].isalpha():
        if rest[0] not in "eE" or not numeral:
            return _parse_code(text, sign, numeral, rest, kind)
        doubts.refuse_code_or_exponent(text, numeral, rest, kind)
    exponent, unit_text = split_exponent(rest) if numeral else ("", rest)
    if not numeral:
        doubts.refuse_unread(text, "", rest, kind)
    try:
        number = read_numeral(numeral, exponent)
    except QuantityError as doubt:
        unit = unit_text.strip() or kind.bare or ""
        choices = [f"{sign}{choice} {unit}".strip() for choice in doubt.choices]
        raise QuantityError(
            f"{doubt.why}; {doubts.type_one_of(choices, kind)}",
            choices=choices or doubts.likely_pieces(text),
        ) from None
    if sign == "-":
        number = Number(-number.digits, number.exponent, number.notes)
    if not unit_text.strip():
        return _parse_bare(text, number, kind)
    return _parse_unit(text, number, unit_text.strip(), kind)


def _parse_bare(text: str, number: Number, kind: Kind) -> Parsed:
    doubts.refuse_bare(text, number, kind)
    if kind == ANY:
        return _make(text, number, "", _NONE, NUMBER, bare=True)
    apart = take_apart(kind.bare or "", kind.word, kind.prefixes)
    prefix, unit = (apart.prefix, apart.unit or _NONE) if apart else ("", _NONE)
    notes = number.notes
    if kind.bare and kind.bare != "%":
        notes += (f"unit assumed: {kind.bare}",)
    number = Number(number.digits, number.exponent, notes)
    return _make(text, number, prefix, unit, kind, bare=True)


def _parse_unit(text: str, number: Number, unit_text: str, kind: Kind) -> Parsed:
    value = plain_number(number)
    doubts.refuse_milli_or_mega(text, value, unit_text, kind)
    old = doubts.old_capacitance(text, value, unit_text, kind)
    found = (KINDS["farads"], old) if old is not None else _resolve(unit_text, kind)
    if found is None or (found[1].unit is None and kind.bare not in (None, kind.unit)):
        doubts.refuse_unread(text, value, unit_text, kind)
        raise AssertionError("refuse_unread always raises")
    resolved, apart = found
    unit = apart.unit or find_unit(resolved.word, resolved.unit) or _NONE
    notes = number.notes + ((apart.note,) if apart.note else ())
    if unit.offset:
        notes += ("kelvin turned into degrees Celsius",)
    number = Number(number.digits, number.exponent, notes)
    return _make(text, number, apart.prefix, unit, resolved if kind == ANY else kind)


def _parse_code(text: str, sign: str, numeral: str, rest: str, kind: Kind) -> Parsed:
    """Read a letter-and-digit code: the letter stands where the decimal mark would be."""
    letter = rest[0]
    fraction = leading_digits(rest[1:])
    tail = rest[1 + len(fraction) :].strip()
    mantissa = f"{sign}{numeral or '0'}.{fraction}"
    doubts.refuse_milli_or_mega(text, mantissa, letter, kind)
    if letter not in kind.codes:
        doubts.refuse_code_letter(text, mantissa, letter, tail, kind)
    number = Number(int(f"{sign}{numeral}{fraction}"), -len(fraction))
    prefix = _CODE_PREFIXES.get(letter, letter if letter in PREFIXES else "")
    resolved = kind
    if kind == ANY:
        resolved = KINDS[_CODE_KINDS[letter]] if letter in _CODE_KINDS else NUMBER
    unit = find_unit(resolved.word, resolved.unit) or _NONE
    if tail:
        found = None if tail == letter else _resolve_tail(letter, tail, kind)
        if found is None or found[1].prefix or found[1].unit is None or found[1].unit.factor != 1:
            doubts.refuse_code_tail(text, mantissa, letter, tail, kind)
            raise AssertionError("refuse_code_tail always raises")
        resolved, unit = (found[0] if kind == ANY else kind), found[1].unit
    return _make(text, number, prefix, unit, resolved)


def _resolve_tail(letter: str, tail: str, kind: Kind) -> tuple[Kind, UnitText] | None:
    """Find the unit after a code; in 3V3DC the letter is the beginning of it."""
    found = _resolve(tail, kind)
    if found is None and letter in _CODE_KINDS:
        found = _resolve(letter + tail, kind)
    return found


def _resolve(unit_text: str, kind: Kind) -> tuple[Kind, UnitText] | None:
    if kind != ANY:
        found = take_apart(unit_text, kind.word, kind.prefixes)
        return (kind, found) if found is not None else None
    letter = "k" if unit_text == "K" else PREFIX_WORDS.get(unit_text.casefold(), unit_text)
    if letter in PREFIXES:
        return NUMBER, UnitText(letter, None)
    fits = [
        (one, found)
        for one in doubts.KINDS_BY_UNIT
        if (found := take_apart(unit_text, one.word, one.prefixes)) and found.unit is not None
    ]
    return min(fits, key=lambda fit: not fit[1].is_exact, default=None)


def _make(
    text: str, number: Number, prefix: str, unit: Unit, kind: Kind, *, bare: bool = False
) -> Parsed:
    value = to_float(number, PREFIXES[prefix], unit) + 0.0
    is_lost = number.digits and not unit.offset and abs(value) < _SMALLEST
    if is_lost or not abs(value) < float("inf"):
        raise QuantityError(f"{text} is out of all proportion; {doubts.wanted(kind)}")
    if not kind.low <= value <= kind.high:
        side = "below the lowest" if value < kind.low else "above the highest"
        end = kind.low if value < kind.low else kind.high
        raise QuantityError(
            f"{text} is {side} {kind.word} there is ({end:g} {kind.unit}".rstrip()
            + f"); {doubts.wanted(kind)}"
        )
    if kind.whole and not value.is_integer():
        raise QuantityError(f"{text} is not whole; {doubts.wanted(kind)}")
    return Parsed(Quantity(value, kind, text, number.notes), prefix, unit.symbol, bare)


def plain_number(number: Number) -> str:
    """Write a number with a dot and without blanks, as a choice can be made from it."""
    if abs(number.exponent) > 30:
        return f"{number.digits}e{number.exponent:+d}"
    return plain(number.digits, number.exponent)
