"""What the shop's units suffer from: the table behind its history."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import NamedTuple


class Fault(NamedTuple):
    """A fault as the shop meets it."""

    entry: str
    """The id of its write-up; empty where there is none."""
    unit: str
    models: tuple[str, ...]
    weight: int
    """How often it comes, among the others."""
    minutes: int
    """What it takes in the middle."""
    held: float
    """The share of repairs that work."""
    complaints: tuple[str, ...]
    works: tuple[str, ...]
    parts: str


@cache
def faults() -> tuple[Fault, ...]:
    """Give the table."""
    text = files(__package__).joinpath("faults.tsv").read_text(encoding="utf-8")
    return tuple(
        Fault(
            entry=row["entry"],
            unit=row["unit"],
            models=tuple(row["models"].split("|")),
            weight=int(row["weight"]),
            minutes=int(row["minutes"]),
            held=float(row["held"]),
            complaints=tuple(row["complaints"].split("|")),
            works=tuple(row["works"].split("|")),
            parts=row["parts"] or "",
        )
        for row in csv.DictReader(text.splitlines(), delimiter="\t", quoting=csv.QUOTE_NONE)
    )
