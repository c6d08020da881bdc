"""Resistors and trimmers: windows, preferred values, tolerances."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from ._band import tolerance_band
from ._pairs import value_pair
from ._path import parallel_path
from ._preferred import preferred_value
from ._trimmer import trimmer_steps


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    calculators = (trimmer_steps, parallel_path, preferred_value, value_pair, tolerance_band)
    return calculators_in({one.__name__: one for one in calculators})
