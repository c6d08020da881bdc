"""Resistors, dividers, wires, fuses: current, power and what they stand."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from . import _divider, _fuse, _lamp, _led, _network, _ohm, _shunt, _wire

__all__ = ["fixbook_calculators"]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    modules = (_ohm, _network, _divider, _led, _shunt, _wire, _fuse, _lamp)
    return [one for module in modules for one in calculators_in(vars(module))]
