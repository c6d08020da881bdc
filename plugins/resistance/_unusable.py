"""The error for an input whose value cannot be used."""

from __future__ import annotations

from fixbook.api import CalculationError, Measured, show


def unusable(name: str, got: Measured, wanted: str) -> CalculationError:
    """Give the error that names the input, what it is and what it has to be."""
    text = show(got.value, got.kind, digits=6)
    return CalculationError(f"{name} is {text}; it has to be {wanted}", input=name, read=text)
