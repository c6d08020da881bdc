"""Quantities stated in the free text of a part or a target, for filling calculators in."""

from __future__ import annotations

import re

from fixbook.core.quantity import Kind
from fixbook.core.reading import read
from fixbook.errors import QuantityError


def whole_quantity(text: str, kind: Kind) -> str | None:
    """Give a text that is one quantity of a kind and nothing else; None otherwise."""
    try:
        read(text, kind)
    except QuantityError:
        return None
    return text.strip()


def leading_quantity(text: str, kind: Kind, pattern: str) -> str | None:
    """Give the quantity that a text is, or begins with where no second one follows."""
    if (whole := whole_quantity(text, kind)) is not None:
        return whole
    found: list[str] = re.findall(pattern, text)
    begins = len(found) == 1 and text.strip().startswith(found[0])
    return whole_quantity(found[0], kind) if begins else None


def only_quantity(text: str, kind: Kind, pattern: str) -> str | None:
    """Give the one quantity that a text states, as typed; None where it states none or several.

    `pattern` finds candidates. One counts only at the beginning, or after a comma, semicolon or
    bracket: `often below 1 ohm` states none.
    """
    found: set[str] = set(re.findall(pattern, text))
    if len(found) != 1:
        return None
    typed = found.pop()
    begins = any(piece.strip().startswith(typed) for piece in re.split(r"[;(]|, ", text))
    return whole_quantity(typed, kind) if begins else None
