"""`fixbook job unlink N ENTRY…`: taking links away, also to write-ups that are gone."""

from __future__ import annotations

import argparse

from fixbook.api import Bench, UnknownEntryError

from .job_json import job_to_json
from .shown import print_json, say
from .store import open_store
from .writing import BODY


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Take links away; none is taken where the job lacks one of them."""
    with open_store(bench) as store:
        linked = store.get(given.number).faults
        gone = [one if one in linked else current_id(bench, one) for one in given.entries]
        how = store.links(given.number)
        job = store.unlink(given.number, gone)
    if given.json:
        print_json(job_to_json(job))
    else:
        said = f"Job {job.number} is linked to {', '.join(job.faults) or 'no write-up'}."
        if named := [one for one in gone if how.get(one) == BODY]:
            said += (
                f" The text of {', '.join(named)} names it and links it anew when it is read again: "
                "take 'job:' out of the text as well."
            )
        say(bench, said)
    return 0


def current_id(bench: Bench, typed: str) -> str:
    """Give the id that an id or former id stands for; itself where nobody knows it."""
    try:
        return bench.entry(typed).id
    except UnknownEntryError:
        return typed
