"""Equivalent series resistance: limits, verdicts, heating and impedance of capacitors."""

from __future__ import annotations

from fixbook.api import Calculator, Vocabulary, calculators_in, hook

from . import _heating, _impedance, _tan_delta, _verdict

__all__ = ["fixbook_calculators", "fixbook_words"]


@hook
def fixbook_calculators() -> list[Calculator]:
    """Give this plugin's calculators."""
    modules = (_tan_delta, _verdict, _heating, _impedance)
    return [one for module in modules for one in calculators_in(vars(module))]


@hook
def fixbook_words() -> Vocabulary:
    """Give what capacitor losses are called on meters, in data sheets and in letters."""
    return Vocabulary(
        synonyms=(
            ("esr", "equivalent series resistance", "series resistance of a capacitor"),
            ("tan delta", "dissipation factor", "loss factor", "loss tangent"),
        )
    )
