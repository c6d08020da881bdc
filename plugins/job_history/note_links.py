"""Links in notes and write-ups: `fault:ID` and `job:NUMBER`, in CommonMark or bare."""

from __future__ import annotations

import re
from collections.abc import Iterable

from fixbook.api import links_in, read_link

from .job import Job

_BARE = re.compile(r"(?<![\w:/-])(fault|job):([^\s()<>\[\],;]{1,60})")


def linked_entries(text: str) -> tuple[str, ...]:
    """Give the ids of the entries that a note names, each once."""
    return _named(text, "fault")


def linked_jobs(text: str) -> tuple[str, ...]:
    """Give the numbers of the jobs that a note or a write-up names, each once."""
    return _named(text, "job")


def jobs_named_in(job: Job) -> tuple[str, ...]:
    """Give the numbers of the jobs that a job's notes and work name."""
    texts = (job.work, job.complaint, *(note.text for note in job.notes))
    found = (number for text in texts for number in linked_jobs(text))
    return tuple(one for one in dict.fromkeys(found) if one != job.number)


def _named(text: str, scheme: str) -> tuple[str, ...]:
    if f"{scheme}:" not in text:
        return ()
    return tuple(dict.fromkeys([*_in_links(text, scheme), *_bare(text, scheme)]))


def _in_links(text: str, scheme: str) -> Iterable[str]:
    links = (read_link(target) for _, _, picture, _, target in links_in(text) if not picture)
    return (link.name for link in links if link.scheme == scheme and link.name)


def _bare(text: str, scheme: str) -> Iterable[str]:
    return (found[2].rstrip(".:!?'\"`*_") for found in _BARE.finditer(text) if found[1] == scheme)
