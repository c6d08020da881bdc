"""Supplies: ripple, hum, stored charge and back-up."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from . import _backup, _discharge, _hum, _ripple, _stored

__all__ = ["fixbook_calculators"]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    modules = (_ripple, _hum, _discharge, _stored, _backup)
    return [one for module in modules for one in calculators_in(vars(module))]
