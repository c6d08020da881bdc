"""Heat and temperature: junctions, heatsinks, regulators, sensors."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from . import _junction, _ntc, _platinum, _regulator

__all__ = ["fixbook_calculators"]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    modules = (_junction, _regulator, _platinum, _ntc)
    return [one for module in modules for one in calculators_in(vars(module))]
