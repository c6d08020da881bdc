"""What `job:` links open."""

from __future__ import annotations

from fixbook.api import Bench, Link, LinkTarget

from .errors import JobError
from .place import has_jobs
from .shown import shortened


def resolve(bench: Bench, link: Link) -> LinkTarget:
    """Give the job that a link points at; JobError where there is none."""
    if not has_jobs(bench):
        raise JobError(
            f"there is no job {link.name!r}: no job was ever recorded in this book",
            input="job",
            read=link.name,
            hint="'fixbook job new' records one",
        )
    from .store import open_store

    with open_store(bench) as store:
        job = store.get(link.name)
    words = (f"job {job.number}", job.model, shortened(job.complaint), job.outcome)
    return LinkTarget(", ".join(word for word in words if word), f"fixbook job show {job.number}")
