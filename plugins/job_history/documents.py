"""Past jobs as documents of the search: `find --kind job`."""

from __future__ import annotations

from fixbook.api import Bench, ExtraDocument, ExtraDocuments

from .job import Job, model_key
from .place import SHARED_S, has_jobs, is_shared, watched
from .store import open_store

KIND = "job"
MOST_AHEAD = 512


class JobDocuments:
    """Makes documents of jobs, reading ahead: they are asked for one by one, in order."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._order: dict[str, int] = {}
        self._numbers: list[str] = []
        self._ahead: dict[str, Job] = {}
        self._step = 1

    def stamps(self) -> dict[str, str]:
        """Give every job's number with its stamp; none where no job was ever recorded."""
        if not has_jobs(self._bench):
            return {}
        with open_store(self._bench) as store:
            found = store.all_numbers_with_stamps()
        self._numbers = list(found)
        self._order = {number: place for place, number in enumerate(found)}
        return found

    def document(self, number: str) -> ExtraDocument | None:
        """Make the document of a job; None where it went away meanwhile."""
        if number not in self._ahead:
            place = self._order.get(number, 0)
            some = self._numbers[place : place + self._step] or [number]
            self._step = min(MOST_AHEAD, self._step * 2)
            with open_store(self._bench) as store:
                self._ahead = store.many([number, *some])
        job = self._ahead.pop(number, None)
        return made(job) if job is not None else None


def documents(bench: Bench) -> list[ExtraDocuments]:
    """Give past jobs to the index; nothing where there is neither a book nor a database."""
    watch = watched(bench)
    if not watch:
        return []
    several = JobDocuments(bench)
    every_s = SHARED_S if is_shared(bench) else 0.0
    return [ExtraDocuments(KIND, several.stamps, several.document, watch, every_s)]


def made(job: Job) -> ExtraDocument:
    """Make the document of a job."""
    what = job.complaint or job.work or "no complaint recorded"
    parts = " ".join(f"{one.what} {one.value} {one.at}" for one in job.parts)
    signs = " ".join(sign.replace("-", " ") for sign, answer in job.signs.items() if seen(answer))
    notes = "\n".join(note.text for note in job.notes)
    text = {
        "models": f"{job.model} {job.serial}".strip(),
        "signs": signs,
        "parts": parts,
        "body": "\n".join(one for one in (job.complaint, job.work, job.condition, notes) if one),
        "id": job.number,
    }
    facets = {
        "model": (model_key(job.model),) if model_key(job.model) else (),
        "sign": tuple(sign for sign, answer in job.signs.items() if seen(answer)),
        "outcome": (job.outcome,) if job.outcome else (),
        "fault": job.faults,
    }
    return ExtraDocument(
        KIND,
        f"{what} ({job.model})" if job.model else what,
        unit=job.unit,
        state=job.outcome or job.stage,
        text={name: one for name, one in text.items() if one},
        facets={name: values for name, values in facets.items() if values},
    )


def seen(answer: str) -> bool:
    """Say whether an answer means that the sign was there."""
    return answer not in ("not-seen", "none")
