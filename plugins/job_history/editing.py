"""`fixbook job edit N FIELD=VALUE…`: changing what is recorded of a job."""

from __future__ import annotations

import argparse
from dataclasses import MISSING, fields
from typing import Any

from fixbook.api import Bench, TextBlock

from .adding import read_json
from .checking import checked
from .errors import JobError
from .job import Job
from .job_json import job_to_json, make_job, read_fields
from .proving import missing, refuse_unproved
from .returns import likely_returns, returns_block
from .shown import print_json
from .store import open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Change the fields that are named; the others stay as they are now."""
    values = _typed(given, day_first=bench.shop.day_first)
    if "number" in values:
        raise JobError(
            "the number of a job cannot be changed", input="number", hint="add it anew instead"
        )
    with open_store(bench) as store:
        if values.get("return_of"):
            values["return_of"] = store.get(values["return_of"]).number

        def change(job: Job) -> Job:
            kept = {one.name: getattr(job, one.name) for one in fields(job)}
            new = checked_fields(bench, make_job({**kept, **values}), set(values))
            refuse_unproved(bench, job, new, f"add {_proofs(new)}")
            return new

        job = store.edit(given.number, change)
        earlier = likely_returns(store, job, bench.shop.warranty_days)
    if given.json:
        print_json(job_to_json(job))
        return 0
    said = TextBlock("", f"Job {job.number} changed: {', '.join(sorted(values))}.")
    bench.show([said, *(returns_block(job, earlier) if "serial" in values else [])])
    return 0


def checked_fields(bench: Bench, job: Job, changed: set[str]) -> Job:
    """Check a job's fields that were typed; what an import brought in otherwise stays."""
    from dataclasses import replace

    own: dict[str, Any] = {
        name: getattr(job, name) for name in ("unit", "faults", "readings", "signs")
    }
    good = checked(bench, Job(job.number, **{k: v for k, v in own.items() if k in changed}))
    return replace(job, **{name: getattr(good, name) for name in own if name in changed})


def _proofs(job: Job) -> str:
    known = {"safety_test": "'safety_test=…'", "soak_minutes": "soak_minutes=N"}
    return " ".join(known[one] for one in missing(job))


def _typed(given: argparse.Namespace, *, day_first: bool) -> dict[str, Any]:
    typed: dict[str, Any] = {}
    if given.file:
        found = read_json(given.file)
        if not isinstance(found, dict):
            raise JobError(f"{given.file} holds no object", input="--from", read=given.file)
        typed |= found
    for said in given.fields:
        name, equals, value = said.partition("=")
        if not equals:
            raise JobError(
                f"{said!r} is no FIELD=VALUE",
                input="arguments",
                read=said,
                hint="write shelf=B3, or 'complaint=hums when warm'",
            )
        typed[name] = value
    if not typed:
        raise JobError(
            "nothing is to be changed", input="arguments", hint="write FIELD=VALUE, or --from FILE"
        )
    emptied = {_name(name) for name, value in typed.items() if value in ("", None)}
    filled = {name: value for name, value in typed.items() if value not in ("", None)}
    found = read_fields(filled, day_first=day_first)
    return found | {name: _empty(name) for name in emptied}


def _name(typed: str) -> str:
    name = typed.strip().lower().replace("-", "_").replace(" ", "_")
    read_fields({name: None})  # refuses a name that no job has
    return name


def _empty(name: str) -> Any:
    found = next(one for one in fields(Job) if one.name == name)
    if found.default_factory is not MISSING:
        return found.default_factory()
    return "" if found.default is MISSING else found.default
