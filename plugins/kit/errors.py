"""What goes wrong with a kit, in words."""

from __future__ import annotations

from fixbook.api import FixbookError


class KitError(FixbookError):
    """A stock list, or a marking, that cannot be used."""
