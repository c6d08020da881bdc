"""What a job knows that a write-up can begin with."""

from __future__ import annotations

from fixbook.api import KINDS, Bench, JobFacts, Measurement, Part, show

from .job import Job
from .place import has_jobs


def facts(bench: Bench, number: str) -> JobFacts | None:
    """Give the facts of a job; None where the book has no jobs, JobError where not this one."""
    if not has_jobs(bench):
        return None
    from .store import open_store

    with open_store(bench) as store:
        return facts_of(store.get(number))


def facts_of(job: Job) -> JobFacts:
    """Give what a job says in the words of a write-up; nothing of the customer or the tag."""
    return JobFacts(
        unit=job.unit,
        model=job.model,
        complaint=job.complaint,
        signs=dict(job.signs),
        faults=job.faults,
        work="\n".join(one for one in (job.work, *(note.text for note in job.notes)) if one),
        parts=tuple(
            Part(at=one.at, is_=one.what, value=one.value, count=min(one.count, 1000))
            for one in job.parts
        ),
        measured=tuple(
            Measurement(one.target, _shown(one.before, one.kind), _shown(one.after, one.kind))
            for one in job.readings
        ),
        minutes=job.minutes,
        proved=_proved(job),
    )


def _shown(value: float | None, kind: str) -> str:
    return "" if value is None or kind not in KINDS else show(value, KINDS[kind])


def _proved(job: Job) -> str:
    soak = f"{job.soak_minutes} minutes on test" if job.soak_minutes else ""
    return "; ".join(one for one in (job.safety_test.strip(), soak) if one)
