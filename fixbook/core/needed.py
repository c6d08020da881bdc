"""Which faults keep a write-up from being used at all."""

from __future__ import annotations

from collections.abc import Iterable

from fixbook.core.problems import Problem
from fixbook.core.raw import Fields

NEEDED = ("id", "kind", "title", "unit")
"""The fields without which a write-up cannot be used."""


def needed_faults(front: Fields, problems: Iterable[Problem]) -> list[Problem]:
    """Give those faults of a write-up for which it cannot be used at all."""
    spots = {
        (at.line, at.column)
        for name in NEEDED
        for at in (front.keys.get(name), front.fields.get(name))
        if at is not None
    }
    missing = tuple(f"{name} is missing" for name in NEEDED)
    found = [
        one
        for one in problems
        if (one.line, one.column) in spots or one.problem.startswith(missing)
    ]
    lines = {one.line for one in found}  # a gap says the same at the end of the line
    return [one for one in problems if one in found or (one.rule == "gap" and one.line in lines)]
