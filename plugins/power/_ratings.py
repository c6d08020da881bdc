"""Power ratings of resistors."""

from __future__ import annotations

from fixbook.api import WATTS, Value

STANDARD_WATTS = (0.063, 0.1, 0.125, 0.25, 0.5, 1, 2, 3, 5, 7, 10, 15, 20)
"""Ratings that resistors are sold with. Common practice, no source."""
DERATING = 0.5
"""Part of its rating that a resistor is run at. Common practice, no source."""
FILM_VOLTS = 250.0
"""Limiting voltage of a typical 0.25 W film resistor. From memory."""
HOT_TO_TOUCH = (
    "A resistor at its full rating is hot enough to burn skin and board. Replace fusible and "
    "flame-proof types by the same kind only."
)


def standard_rating(needed: float) -> float | None:
    """Give the smallest standard rating that is at least `needed` watts; None above 20 W."""
    return next((one for one in STANDARD_WATTS if one >= needed * (1 - 1e-9)), None)


def standard_value(needed: float) -> Value:
    """Give the answer `standard_rating`."""
    found = standard_rating(needed)
    return Value(
        "standard_rating", found, WATTS, text="" if found else "above 20 W: share it among several"
    )
