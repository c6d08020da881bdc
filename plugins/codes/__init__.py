"""Markings: colour bands, chip codes, capacitor and date codes."""

from __future__ import annotations

from fixbook.api import Calculator, calculators_in, hook

from ._bands import colour_bands
from ._capacitor import capacitor_code
from ._chip import chip_resistor_code
from ._date import date_code
from ._eia96 import eia96_code
from ._rkm import rkm_code
from ._two import chip_capacitor_code
from ._voltage import voltage_code


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    calculators = (
        rkm_code,
        colour_bands,
        eia96_code,
        chip_resistor_code,
        capacitor_code,
        voltage_code,
        chip_capacitor_code,
        date_code,
    )
    return calculators_in({one.__name__: one for one in calculators})
