"""`fixbook job note N TEXT`: a note, whose `fault:` links become links of the job."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fixbook.api import DOUBT, Bench, Block, TextBlock, UnknownEntryError, sentence

from .errors import JobError
from .job import LONGEST_TEXT, Job, Note
from .job_json import job_to_json
from .note_links import linked_entries
from .place import has_jobs
from .shown import print_json, title
from .store import open_store
from .writing import NOTE


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Add the note; a link to what nobody knows is said, and the note kept all the same."""
    text = " ".join(given.text).strip()
    if not text or len(text) > LONGEST_TEXT:
        raise JobError(f"a note has 1 to {LONGEST_TEXT:,} characters", input="TEXT")
    entries, unknown = known_entries(bench, text)
    note = Note(datetime.now().isoformat(timespec="minutes"), text)

    def noted(job: Job) -> Job:
        faults = tuple(dict.fromkeys((*job.faults, *entries)))
        return replace(job, notes=(*job.notes, note), faults=faults)

    with open_store(bench) as store:
        job = store.edit(given.number, noted, NOTE)
    if given.json:
        print_json(job_to_json(job))
        return 0
    linked = "".join(f" {sentence(f'linked to {one}, {title(bench, one)}')}" for one in entries)
    blocks: list[Block] = [TextBlock("", f"Noted on job {job.number}.{linked}")]
    blocks += [TextBlock("", f"{sentence(why)} The note is kept.", weight=DOUBT) for why in unknown]
    bench.show(blocks)
    return 0


def take_note(bench: Bench, number: str, text: str, signs: Mapping[str, str]) -> bool:
    """Put a note and the signs that were looked for into a job; False where there are no jobs.

    JobError where there is no such job. A sign that the job has already gets the new answer.
    """
    if not has_jobs(bench):
        return False
    note = Note(datetime.now().isoformat(timespec="minutes"), text[:LONGEST_TEXT])

    def noted(job: Job) -> Job:
        return replace(job, notes=(*job.notes, note), signs={**job.signs, **signs})

    with open_store(bench) as store:
        store.edit(number, noted)
    return True


def known_entries(bench: Bench, text: str) -> tuple[list[str], list[str]]:
    """Give the ids of the entries that a text links to, and why others are none."""
    known: list[str] = []
    unknown: list[str] = []
    for one in linked_entries(text):
        try:
            known.append(bench.entry(one).id)
        except UnknownEntryError as error:
            unknown.append(error.why)
    return list(dict.fromkeys(known)), unknown
