"""Several values typed for one input: `10k; 4k7`, and what a comma between them may mean."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from fixbook.core.inputs import Input
from fixbook.core.typed_input import is_read, read_value, refuse
from fixbook.errors import CalculationError

_DECIMAL = re.compile(r"[-+]?\d*,\d+[^\d,]*")
"""One comma between digits, as in 4,7k: a decimal mark."""
_TWICE = re.compile(r"\d+,\d+(?<!,\d{3})")
"""A decimal, or two whole numbers; with three digits behind it may be a thousand as well."""

_MOST_SHOWN = 12


def read_typed(field: Input, texts: Sequence[str], notes: list[str]) -> Any:
    """Read what was typed for an input: a value, or all of them where it takes several.

    CalculationError as in `read_value` and `read_several`.
    """
    if field.many:
        return read_several(field, texts, notes)
    return read_value(field, texts[0], notes)


def read_several(field: Input, texts: Sequence[str], notes: list[str]) -> tuple[Any, ...]:
    """Read an input that takes several: each text may hold some, parted by semicolons.

    CalculationError where one cannot be read, or where commas stand between them: a comma is a
    decimal mark. What was assumed is added to `notes`.
    """
    parts = [part.strip() for text in texts for part in text.split(";") if part.strip()]
    if not parts:
        refuse(field, texts[0], f"{field.name} is empty")
    pieces = [piece.strip() for part in parts for piece in part.split(",") if piece.strip()]
    listed = "; ".join(pieces[:_MOST_SHOWN]) + ("; ..." if pieces[_MOST_SHOWN:] else "")
    apart = f"separate them by semicolons: {listed}"
    quoted = f"on a command line in quotes: '{listed}'"
    if any(_is_list(field, part) for part in parts):
        why = f"{field.name}: a comma is a decimal mark, so it parts no values; {apart}"
        refuse(field, "; ".join(parts), why, [listed], hint=quoted)
    if len(parts) == 1 and _TWICE.fullmatch(parts[0]):
        number = parts[0].replace(",", ".")
        why = f"{field.name}: {parts[0]} could be {number} or two values; type {number}, or {apart}"
        refuse(field, parts[0], why, [number, listed], hint=quoted)
    try:
        return tuple(read_value(field, part, notes) for part in parts)
    except CalculationError as error:  # 100,200 is doubtful in itself, and may be two as well
        if len(pieces) > len(parts) and all(is_read(field, piece) for piece in pieces):
            error.hint = error.hint or f"where several are meant, {apart}"
        raise


def _is_list(field: Input, part: str) -> bool:
    """Say whether commas stand between values: none of them is a decimal mark."""
    pieces = [piece.strip() for piece in part.split(",")]
    if len(pieces) < 2 or _DECIMAL.fullmatch(part):
        return False
    filled = [piece for piece in pieces if piece]
    if field.form == "text":
        return all(any(letter.isdigit() for letter in piece) for piece in filled)
    return not is_read(field, part) and all(is_read(field, piece) for piece in filled)
