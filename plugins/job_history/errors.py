"""What goes wrong with jobs, in words."""

from __future__ import annotations

from fixbook.api import FixbookError


class JobError(FixbookError):
    """A job, or the database of jobs, that cannot be used."""
