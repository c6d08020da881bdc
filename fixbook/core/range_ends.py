"""Both ends of a range, read from a plain text. `fixbook.core.reading` is the front door."""

from __future__ import annotations

from fixbook.core import doubts
from fixbook.core.quantity import ANY, Kind, Quantity, Range, exact
from fixbook.core.range_text import split_range
from fixbook.core.tolerance_text import parse_tolerance
from fixbook.core.typed import split_plus_minus
from fixbook.core.value_text import Parsed, parse_value
from fixbook.errors import QuantityError

_WANTED = "a range that rises is wanted here, as in 450 .. 600"


def parse_range(text: str, kind: Kind, open_ended: bool) -> Range:
    """Read a range; QuantityError, with ranges as choices, where it is none."""
    parts = split_range(text)
    if parts is None:
        _refuse_no_range(text, kind, open_ended)
        raise AssertionError("_refuse_no_range always raises")
    left, right = parts
    if not (left or right) or (not (left and right) and not open_ended):
        missing = "no low end" if right else "no high end" if left else "neither end"
        raise QuantityError(f"{text} has {missing}; type both, as in 450 .. 600")
    if not left:
        return Range(None, _parse_end(right, kind, before=".. ").quantity)
    if not right:
        return Range(_parse_end(left, kind, after=" ..").quantity, None)
    high = _parse_right(left, right, kind)
    low = _parse_left(left, high, kind)
    if low.kind != high.quantity.kind:
        raise QuantityError(f"{text} has ends of two kinds; {_WANTED}")
    if low.value > high.quantity.value:
        shared = f" {high.prefix}{high.unit}" if _is_bare(left) and not high.bare else ""
        given = f"{right} .. {left}{shared}"
        raise QuantityError(
            f"{text} falls; type the low end first, as in {given}",
            choices=[given, *_right_like_left(left, right, kind)],
        )
    return Range(low, high.quantity)


def _parse_right(left: str, right: str, kind: Kind) -> Parsed:
    try:
        return _parse_end(right, kind, before=f"{left} .. ")
    except QuantityError as doubt:
        like_left = _right_like_left(left, right, kind) if _is_bare(right) else []
        raise QuantityError(doubt.why, choices=[*like_left, *doubt.choices]) from None


def _parse_left(left: str, high: Parsed, kind: Kind) -> Quantity:
    """Read the left end; where it is bare it takes over prefix and unit, else the unit alone."""
    typed = _try(left, kind)
    after = f" .. {high.quantity.text} {high.unit if high.bare else ''}".rstrip()
    if typed is None and not _is_bare(left):
        typed = _parse_end(left, kind, after=after)
    if typed is not None and not typed.bare:
        _refuse_bare_right(left, typed, high, kind)
        return typed.quantity
    if high.bare:
        return (typed or _parse_end(left, kind, after=after)).quantity
    for suffix in (f"{high.prefix}{high.unit}", high.unit):
        taken = _try(f"{left} {suffix}".strip(), kind)
        if taken is not None and taken.quantity.value < high.quantity.value:
            found = taken.quantity
            notes = (*found.notes, f"{left} read as {left} {suffix}") if suffix else found.notes
            return Quantity(found.value, found.kind, left, notes)
    return _parse_end(f"{left} {high.unit}".strip(), kind, after=after).quantity


def _refuse_bare_right(left: str, low: Parsed, high: Parsed, kind: Kind) -> None:
    """Refuse 10 mV .. 50: is that 50 mV or 50 V?"""
    is_same = not low.prefix and low.unit == high.unit
    if not high.bare or is_same or low.quantity.value > high.quantity.value:
        return
    right = high.quantity.text
    same = f"{left} .. {right} {low.prefix}{low.unit}"
    other = f"{left} .. {right} {high.unit}"
    raise QuantityError(
        f"{left} .. {right} could be {same} or {other}; type the unit of the high end",
        choices=[same, other],
    )


def _right_like_left(left: str, right: str, kind: Kind) -> list[str]:
    low = _try(left, kind)
    return [f"{left} .. {right} {low.prefix}{low.unit}"] if low is not None else []


def _parse_end(text: str, kind: Kind, *, before: str = "", after: str = "") -> Parsed:
    """Read one end; choices get what stands beside it, so that they are ranges."""
    try:
        return parse_value(text, kind)
    except QuantityError as doubt:
        choices = [f"{before}{choice}{after}" for choice in doubt.choices]
        raise QuantityError(doubt.why, choices=choices) from None


def _try(text: str, kind: Kind) -> Parsed | None:
    try:
        return parse_value(text, kind)
    except QuantityError:
        return None


def _is_bare(text: str) -> bool:
    parsed = _try(text, ANY)
    return parsed is not None and parsed.bare


def _refuse_no_range(text: str, kind: Kind, open_ended: bool) -> None:
    ends = split_plus_minus(text)
    if ends is not None and all(ends):
        raise QuantityError(
            f"{text} holds a tolerance; type both ends, since {_WANTED}",
            choices=_ends_of_tolerance(*ends, kind),
        )
    bound = text.lstrip("<>≤≥= ")
    if bound != text:
        choice = f".. {bound}" if text[0] in "<≤" else f"{bound} .."
        raise QuantityError(f"{text} is a limit; {_WANTED}", choices=[choice])
    doubts.refuse_no_number(text, kind)
    choices = [f"{text} ..", f".. {text}"] if open_ended else []
    if " - " in text:
        choices = [text.replace(" - ", " .. ")]
    raise QuantityError(f"{text} is no range; {_WANTED}", choices=choices)


def _ends_of_tolerance(middle: str, around: str, kind: Kind) -> list[str]:
    centre = _try(middle, kind)
    if centre is None:
        return []
    value = centre.quantity.value
    try:
        tolerance = parse_tolerance(around)
        ends = value - abs(value) * tolerance.minus, value + abs(value) * tolerance.plus
    except QuantityError:
        half = _try(around, kind)
        if half is None:
            return []
        ends = value - half.quantity.value, value + half.quantity.value
    low, high = (exact(float(f"{end:.6g}"), centre.quantity.kind) for end in ends)
    return [f"{low} .. {high}"]
