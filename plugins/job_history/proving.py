"""The safety test and the soak without which no mains unit goes back, on whatever road."""

from __future__ import annotations

from fixbook.api import Bench

from .checking import runs_from_mains
from .errors import JobError
from .job import HANDED_OVER, Job

SAFETY = (
    "Before a mains unit goes back: earth continuity, insulation and leakage, by the code that "
    "holds where you are. Local codes and licensed practice come first; their limits count, "
    "and none is suggested here."
)
PROOFS = ("safety_test", "soak_minutes")
"""The fields of a job that say that it was proved safe."""
UNREPAIRED = ("uneconomic", "declined")
"""Outcomes with which nobody plugs a unit in again by the shop's word."""
SAY_SO = "where it was not done, say so and why"


def missing(job: Job) -> list[str]:
    """Give which of its proofs a job lacks, as fields of a job."""
    return [name for name in PROOFS if getattr(job, name) in ("", None)]


def is_out_unproved(job: Job) -> bool:
    """Say whether a unit, were it one for the mains, is out without its proofs."""
    out = job.stage == HANDED_OVER or job.handed_over is not None
    return out and job.outcome not in UNREPAIRED and bool(missing(job))


def refuse_unproved(bench: Bench, old: Job | None, new: Job, hint: str = "") -> None:
    """Refuse what lets a mains unit go out without its safety test and its soak; JobError.

    `old` is the job as it was. What was out already, as past history that was brought in, may be
    changed otherwise. `hint` says how to add what is missing; otherwise that is `job close`.
    """
    if not is_out_unproved(new) or (old is not None and is_out_unproved(old)):
        return
    if runs_from_mains(bench, new):
        raise unproved(new, hint or by_closing(new))


def unproved(job: Job, hint: str) -> JobError:
    """Give the error of a mains unit that lacks its proofs."""
    lacks = missing(job)
    return JobError(
        f"job {job.number} is a mains unit and goes back without its "
        f"{' and '.join(one.replace('_', ' ') for one in lacks)}. {SAFETY}",
        input=lacks[0],
        hint=f"{hint}; {SAY_SO}",
    )


def by_closing(job: Job) -> str:
    """Say how `job close` records what a job lacks and hands it over."""
    outcome = "" if job.outcome else "--outcome WORD "
    return f"fixbook job close {job.number} {outcome}{options(job)} --handed-over today"


def options(job: Job) -> str:
    """Give the options of `job close` for what a job lacks."""
    known = {"safety_test": "--safety-test TEXT", "soak_minutes": "--soak MINUTES"}
    return " ".join(known[one] for one in missing(job))
