"""Holding a job that was typed against the book's words and write-ups."""

from __future__ import annotations

from dataclasses import replace

from fixbook.api import Bench, did_you_mean

from .errors import JobError
from .job import Job

SUPPLIES = ("linear-supply", "switch-mode-supply")
"""The units by which a unit is known to run from the mains."""
MAINS = ("mains", "live-chassis", "high-voltage")
"""The hazards by which a fault's unit is known to run from the mains."""
TESTED = ("fixed", "improved", "not-fixed", "no-fault-found")
"""Outcomes with which a unit may be plugged in again by whoever takes it home."""


def checked(bench: Bench, job: Job) -> Job:
    """Give the job with units, signs and entries by their ids; JobError for what nobody knows."""
    unit = unit_id(bench, job.unit) if job.unit else ""
    faults = tuple(dict.fromkeys(bench.entry(one).id for one in job.faults))
    readings = tuple(replace(one, fault=bench.entry(one.fault).id) for one in job.readings)
    for sign, answer in job.signs.items():
        check_sign(bench, sign, answer)
    return replace(job, unit=unit, faults=faults, readings=readings)


def unit_id(bench: Bench, typed: str) -> str:
    """Give a unit's id by its id, name or another name; JobError with close matches."""
    units = bench.vocabulary.units
    if found := bench.vocabulary.unit_named(typed):
        return found
    near = did_you_mean(typed.strip().lower(), units, otherwise=f"known: {', '.join(units)}")
    raise JobError(f"there is no unit {typed!r}; {near}", input="unit", read=typed)


def check_sign(bench: Bench, sign: str, answer: str) -> None:
    """Refuse a sign or an answer that the vocabulary does not have; JobError."""
    signs = bench.vocabulary.signs
    if sign not in signs:
        near = bench.vocabulary.meant_sign(sign)
        raise JobError(f"there is no sign {sign!r}; {near}", input="signs", read=sign)
    answers = signs[sign].answers
    if answer not in answers:
        raise JobError(
            f"the sign {sign} has no answer {answer!r}; "
            + did_you_mean(answer, answers, otherwise=f"one of {', '.join(answers)}"),
            input="signs",
            read=answer,
            choices=answers,
        )


def runs_from_mains(bench: Bench, job: Job) -> bool:
    """Say whether the unit is one that is plugged into the mains, as far as the book tells."""
    from fixbook.api import FixbookError

    vocabulary = bench.vocabulary
    if job.unit in vocabulary.units:
        return any(one in SUPPLIES for one in vocabulary.unit_and_contents(job.unit))
    for fault in job.faults:
        try:
            hazards = bench.entry(fault).hazards
        except FixbookError:
            continue  # its write-up is gone; the others may tell
        if any(one in MAINS for one in hazards):
            return True
    return False
