"""`fixbook job new`: booking a unit in, from options or step by step."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from datetime import date
from typing import Any

from fixbook.api import Bench, Input, TextBlock

from .checking import checked, unit_id
from .errors import JobError
from .job import Job
from .job_json import job_to_json, make_job, read_date, read_fields
from .options import INTAKE
from .returns import likely_returns, returns_block
from .shown import print_json
from .store import Store, open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Book a unit in; asks on a terminal where no field is given."""
    typed = {name: getattr(given, name) for name in INTAKE if getattr(given, name) is not None}
    with open_store(bench) as store:
        if not typed and not given.sign and sys.stdin is not None and sys.stdin.isatty():
            typed = ask(bench, store)
        values = read_fields({**typed, "signs": ";".join(given.sign or ())})
        if not any(values.values()):
            raise JobError(
                "nothing is said about the unit",
                input="arguments",
                hint="say at least --complaint or --unit; on a terminal each field is asked for",
            )
        values["booked_in"] = read_date("--booked-in", given.booked_in or "today")
        if given.return_of:
            values["return_of"] = store.get(given.return_of).number
        job = booked(bench, store, values, given.number or "")
        earlier = likely_returns(store, job, bench.shop.warranty_days)
    if given.json:
        likely = [one.number for one in earlier if not job.return_of]
        print_json({**job_to_json(job), "likely_return_of": likely})
        return 0
    hint = f"'fixbook job suggest {job.number}' says what the book knows of it."
    text = f"Booked in as job {job.number} on {job.booked_in or date.today()}. {hint}"
    bench.show([TextBlock("", text), *returns_block(job, earlier)])
    return 0


def booked(bench: Bench, store: Store, values: Mapping[str, Any], number: str) -> Job:
    """Record a new job, under the next free number where none is given."""

    def make(free: str) -> Job:
        return checked(bench, make_job({**values, "number": free}))

    if not number.strip():
        return store.add_next(make)
    job = make(number.strip())
    store.add(job)
    return job


def ask(bench: Bench, store: Store) -> dict[str, str]:
    """Ask for the fields of intake, with completion from the vocabulary and past models."""
    units = bench.vocabulary.units
    known = {"unit": tuple(units), "model": tuple(store.models())}
    answers: dict[str, str] = {}
    for name, help_ in INTAKE.items():
        field = Input(name, "text", required=False, choices=known.get(name, ()), help=help_)
        shown = Input(name, "text", required=False, help=help_)
        while True:
            typed = bench.ask([field if len(field.choices) <= 12 else shown]).get(name, "")
            try:
                answers[name] = unit_id(bench, typed) if name == "unit" and typed else typed
                break
            except JobError as error:
                bench.show([TextBlock("", error.why)])
    return {name: text for name, text in answers.items() if text}
