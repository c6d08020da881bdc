"""A tolerance, read from a plain text. `fixbook.core.reading` is the front door."""

from __future__ import annotations

from fixbook.core.quantity import RATIO, Tolerance
from fixbook.core.typed import split_plus_minus
from fixbook.core.value_text import Parsed, parse_value
from fixbook.errors import QuantityError

_WANTED = "a tolerance is wanted here, as in 5 % or -20/+80 %"


def parse_tolerance(text: str) -> Tolerance:
    """Read a tolerance; QuantityError, with tolerances as choices, where it is none."""
    parts = split_plus_minus(text)
    if parts is not None and parts[0]:
        raise QuantityError(
            f"{text} has a value before the tolerance; {_WANTED}", choices=[f"+-{parts[1]}"]
        )
    if parts is None and text[0] in "+-":
        return _parse_two_sided(text)
    typed = parts[1] if parts is not None else text
    share = _parse_share(typed, text, "+-")
    return _make(share.quantity.value, share.quantity.value, text)


def _parse_two_sided(text: str) -> Tolerance:
    sign = text[0]
    other = "-" if sign == "+" else "+"
    first, found, second = text[1:].partition(other)
    first = first.strip().rstrip("/").strip()
    second = second.strip()
    if not found or not first or not second:
        raise QuantityError(
            f"{text} gives one side only; {_WANTED}",
            choices=[f"{sign}{first}/{other}0 %", f"+-{first}"],
        )
    last = _parse_share(second, text, f"{sign}{first}/{other}", zero_is_bare=True)
    if not last.bare:
        first = f"{first} %" if not set(first) - set("0123456789.,") else first
    begin = _parse_share(first, text, sign, f"/{other}{second}", zero_is_bare=True)
    shares = begin.quantity.value, last.quantity.value
    return _make(*(shares if sign == "-" else shares[::-1]), text)


def _parse_share(
    typed: str, text: str, before: str, after: str = "", *, zero_is_bare: bool = False
) -> Parsed:
    """Read a share; choices get what stands beside it."""
    try:
        share = parse_value(typed, RATIO) if typed else None
    except QuantityError as doubt:
        choices = [f"{before}{choice}{after}" for choice in doubt.choices]
        raise QuantityError(f"{doubt.why.partition(';')[0]}; {_WANTED}", choices=choices) from None
    if share is None:
        raise QuantityError(f"{text} has no number; {_WANTED}")
    if share.bare and share.quantity.value == 1:
        raise QuantityError(
            f"{text} could be 1 % or 100 %; {_WANTED}",
            choices=[f"{before}1 %{after}", f"{before}100 %{after}"],
        )
    return share


def _make(minus: float, plus: float, text: str) -> Tolerance:
    if minus > 1:
        raise QuantityError(f"{text} goes below nothing, more than 100 % down; {_WANTED}")
    return Tolerance(minus, plus)
