"""Capacitors: voltage rating, life, leakage, and whether one may replace another."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from . import _leakage, _life, _replacement, _voltage

__all__ = ["fixbook_calculators"]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    modules = (_voltage, _life, _replacement, _leakage)
    return [one for module in modules for one in calculators_in(vars(module))]
