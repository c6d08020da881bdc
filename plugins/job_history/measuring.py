"""`fixbook job reading N TARGET=VALUE…`: what targets read, held against their windows."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from itertools import chain
from typing import Any

from fixbook.api import DOUBT, Bench, Block, Entry, Target, TextBlock, did_you_mean, read, show

from .errors import JobError
from .figures import known_or_none
from .job import Job, Reading
from .job_json import job_to_json
from .learnt import is_far
from .shown import print_json
from .store import open_store


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Record each reading and show its verdict."""
    with open_store(bench) as store:
        entries = _entries(bench, store.get(given.number), given.fault)
        taken = [(*_target(entries, said), said) for said in given.readings]
        readings = [
            _reading(entry, target, said, before=given.before, meter=given.meter)
            for entry, target, said in taken
        ]

        def measured(job: Job) -> Job:
            return replace(job, readings=with_readings(job.readings, readings))

        job = store.edit(given.number, measured)
    blocks = [_judged(bench, *one, after=not given.before) for one in taken]
    if given.json:
        verdicts = [_verdict_json(one) for one in chain(*blocks) if hasattr(one, "verdict")]
        print_json({**job_to_json(job), "verdicts": verdicts})
    else:
        bench.show(list(chain(*blocks)))
    return 0


def with_readings(old: Sequence[Reading], new: Sequence[Reading]) -> tuple[Reading, ...]:
    """Put readings among those of a job: what was read before and after stands together."""
    kept = {(one.fault, one.target): one for one in old}
    for one in new:
        had = kept.get((one.fault, one.target))
        if had is not None:
            one = replace(
                one,
                before=had.before if one.before is None else one.before,
                after=had.after if one.after is None else one.after,
                meter=one.meter or had.meter,
            )
        kept[one.fault, one.target] = one
    return tuple(kept.values())


def _entries(bench: Bench, job: Job, fault: str | None) -> list[Entry]:
    ids = [fault] if fault else list(job.faults)
    if not ids:
        raise JobError(
            f"job {job.number} is linked to no write-up, so its targets are not known",
            input="N",
            read=job.number,
            hint=f"name one with --fault ENTRY, or first: fixbook job link {job.number} ENTRY",
        )
    return [bench.entry(id) for id in ids]


def _target(entries: Sequence[Entry], said: str) -> tuple[Entry, Target]:
    name, equals, value = said.partition("=")
    if not equals or not value.strip():
        raise JobError(
            f"{said!r} is no reading of a target",
            input="TARGET=VALUE",
            read=said,
            hint="write 'contact resistance=40 mohm'",
        )
    wanted = " ".join(name.lower().split())
    there = [(entry, target) for entry in entries for target in entry.targets]
    exact = [one for one in there if one[1].name.lower() == wanted]
    found = exact or [one for one in there if wanted and wanted in one[1].name.lower()]
    if len(found) == 1:
        return found[0]
    names = [target.name for _, target in there]
    if found:
        few = " or ".join(f"{target.name!r} of {entry.id}" for entry, target in found)
        why = f"{name!r} could be {few}"
    else:
        otherwise = f"there are {', '.join(names)}" if names else "the write-ups have none"
        why = f"there is no target {name!r}; {did_you_mean(name, names, otherwise=otherwise)}"
    hint = "write more of its name, or say with --fault whose it is"
    raise JobError(why, input="TARGET=VALUE", read=said, choices=names, hint=hint)


def _reading(entry: Entry, target: Target, said: str, *, before: bool, meter: str) -> Reading:
    value = read(said.partition("=")[2].strip(), target.kind, name=target.name).value
    taken = Reading(entry.id, target.name, target.kind.name, meter=meter)
    return replace(taken, before=value) if before else replace(taken, after=value)


def _judged(bench: Bench, entry: Entry, target: Target, said: str, *, after: bool) -> list[Block]:
    text = said.partition("=")[2].strip()
    value = read(text, target.kind, name=target.name).value
    if not target.windows:
        shown = show(value, target.kind, digits=6)
        return [TextBlock(target.name, f"{shown} recorded; the write-up states no window.")]
    blocks: list[Block] = [*bench.check(entry, f"{target.name}={text}")]
    kept, _ = known_or_none(bench)
    learnt = kept.digest((entry.id, *entry.aliases)).readings if kept and after else ()
    others = [one.value for one in learnt if one.target == target.name]
    if is_far(value, target, others):
        here = f"the {len(others)} readings on units that stayed fixed here"
        text = f"This is far from the stated window and from {here}: measure again."
        blocks.append(TextBlock("", text, weight=DOUBT))
    return blocks


def _verdict_json(block: Any) -> dict[str, str]:
    return {
        "reading": block.heading,
        "verdict": block.verdict,
        "word": block.word,
        "why": block.why,
    }
