"""Readings: what a meter's accuracy leaves of them."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from ._budget import uncertainty
from ._interval import meter_interval
from ._limits import limit_check


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    return calculators_in({one.__name__: one for one in (meter_interval, limit_check, uncertainty)})
