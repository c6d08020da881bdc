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
from .job_json import job_to_json, make_job, read_day, read_fields
from .options import INTAKE
from .returns import likely_returns, returns_block
from .shown import print_json
from .store import Store, open_store

OFFERED = 30
"""Past models that are offered while one is typed."""


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
        day = given.booked_in or "today"
        values["booked_in"] = read_day("--booked-in", day, day_first=bench.shop.day_first)
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
    words = bench.vocabulary
    named = [name for one in words.units.values() for name in (one.id, one.name, *one.aliases)]
    heard = [lay for sign in words.signs.values() for lay in sign.lay]
    offered = {
        "unit": tuple(dict.fromkeys(named)),
        "model": tuple(store.models()[:OFFERED]),
        "complaint": tuple(dict.fromkeys(heard)),
    }
    answers: dict[str, str] = {}
    for name, help_ in INTAKE.items():
        field = Input(name, "text", required=False, choices=offered.get(name, ()), help=help_)
        answers[name] = ask_until_known(bench, field)
    return {name: text for name, text in answers.items() if text}


def ask_until_known(bench: Bench, field: Input) -> str:
    """Ask for a field; a unit that the vocabulary does not have is asked for again."""
    while True:
        typed = bench.ask([field]).get(field.name, "")
        if field.name != "unit" or not typed:
            return typed
        try:
            return unit_id(bench, typed)
        except JobError as error:
            bench.show([TextBlock("", error.why)])
