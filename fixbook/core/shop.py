"""What a shop says about itself in `fixbook.toml`, as one frozen value."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Meter(NamedTuple):
    """A meter's accuracy for one quantity and range: plus or minus (percent + counts)."""

    reads: str
    """What it reads: ohms, dc, ac-rms …, as in a target."""
    percent: float
    """Of the reading."""
    counts: float
    """Of the last digit."""
    resolution: float
    """One count on that range, in the base unit."""
    up_to: float = float("inf")
    """The end of the range, in the base unit."""


class Shop(NamedTuple):
    """The shop's settings; every field has the value it has when nothing is said."""

    name: str = ""
    starter: bool = True
    """Whether the starter book stands beside the shop's own."""
    warranty_days: int = 90
    mains_voltage: float = 230.0
    mains_hz: float = 50.0
    day_first: bool = True
    """How dates like 3/4/2026 are read in imported history."""
    stock: str = ""
    """The stock list, a CSV file in the book folder."""
    jobs: str = ""
    """Address of a shared job database; empty: the book's own file."""
    meters: tuple[Meter, ...] = ()
    other: Mapping[str, Mapping[str, str]] = {}
    """What plugins keep here: `[plugin.NAME]` tables, as texts."""
    format: int = 1
    """The form of the book's folder; a book that says nothing has the first."""

    def meter_for(self, reads: str, value: float) -> Meter | None:
        """Give the shop's meter for a reading: the smallest range that holds it, else None."""
        fitting = [one for one in self.meters if one.reads == reads and abs(value) <= one.up_to]
        return min(fitting, key=lambda one: one.up_to, default=None)
