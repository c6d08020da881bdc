"""What the calculators of this plugin share about a reading."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    CELSIUS,
    KELVIN,
    MEMORY,
    CalculationError,
    Kind,
    Measured,
    Number,
    Source,
    show,
    within,
)

CATEGORY = (
    "The measurement category of the meter and of its leads must suit the circuit; no calculator "
    "can check that."
)
CATEGORIES = Source("IEC 61010-2-033 and IEC 61010-031, measurement categories", MEMORY)

Coverage = Annotated[Number, "coverage factor", within(1, 3)]


def difference_of(kind: Kind) -> Kind:
    """Give the kind of a difference of two values of a kind."""
    return KELVIN if kind == CELSIUS else kind


def unusable(name: str, got: Measured, wanted: str) -> CalculationError:
    """Give the error for an input whose value cannot be used."""
    text = show(got.value, got.kind, digits=6)
    return CalculationError(f"{name} is {text}; it has to be {wanted}", input=name, read=text)
