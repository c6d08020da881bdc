"""What results can be narrowed by."""

from __future__ import annotations

from fixbook.core.query import NO_VALUE

FACETS = ("unit", "section", "kind", "hazard", "skill", "state", "model", "sign")
"""The facets of every entry; plugins may add more."""


def model_key(model: str) -> str:
    """Bring a model to the form in which models are compared: letters and digits, lower case."""
    return "".join(letter for letter in model.lower() if letter.isalnum()) or NO_VALUE
