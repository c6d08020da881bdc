"""What narrowing refuses, in words."""

from __future__ import annotations

from fixbook.api import FixbookError


class NarrowError(FixbookError):
    """A unit, sign or answer that is none, or that was left out."""
