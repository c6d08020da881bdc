"""The options of `fixbook job …`: argparse and nothing heavier, since every call reads them."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import NamedTuple

from .import_options import bring_in
from .job import OUTCOMES, STAGES

Options = Callable[[argparse.ArgumentParser], None]


class Sub(NamedTuple):
    """A sub-command: what it does, the module that does it, and its options."""

    summary: str
    module: str
    """A sibling module with `run(bench, given) -> int`."""
    options: Options


INTAKE = {
    "unit": "the kind of apparatus",
    "model": "model and board revision",
    "serial": "the serial tag",
    "complaint": "what the customer reports, in a sentence",
    "accessories": "what came with it",
    "condition": "marks and damage",
    "limit": "how far you may go without asking",
    "shelf": "where it stands",
}
"""The fields that are asked for at intake, in this order."""


def new(parser: argparse.ArgumentParser) -> None:
    """Booking a unit in."""
    for name, help_ in INTAKE.items():
        parser.add_argument(f"--{name}", metavar="TEXT", help=help_)
    parser.add_argument("--number", metavar="N", help="its number; the next free one otherwise")
    parser.add_argument(
        "--booked-in", metavar="DAY", help="2026-11-25 or yesterday; today otherwise"
    )
    parser.add_argument("--return-of", metavar="N", help="the earlier job it comes back from")
    _signs(parser)


def add(parser: argparse.ArgumentParser) -> None:
    """Recording jobs from JSON."""
    parser.add_argument(
        "--from", dest="file", metavar="FILE", required=True, help="JSON: a job or a list; - reads"
    )


def edit(parser: argparse.ArgumentParser) -> None:
    """Changing fields of a job."""
    _number(parser)
    parser.add_argument("fields", nargs="*", metavar="FIELD=VALUE", help="FIELD= empties it")
    parser.add_argument("--from", dest="file", metavar="FILE", help="JSON with the fields; - reads")


def note(parser: argparse.ArgumentParser) -> None:
    """Adding a note."""
    _number(parser)
    parser.add_argument("text", nargs="+", metavar="TEXT", help="fault:ID and job:N become links")


def reading(parser: argparse.ArgumentParser) -> None:
    """Recording readings of targets."""
    _number(parser)
    parser.add_argument("readings", nargs="+", metavar="TARGET=VALUE", help="as on the sheet")
    parser.add_argument("--before", action="store_true", help="taken before the repair")
    parser.add_argument("--fault", metavar="ENTRY", help="whose target it is")
    parser.add_argument("--meter", metavar="TEXT", default="", help="which meter")


def stage(parser: argparse.ArgumentParser) -> None:
    """Moving a job on."""
    _number(parser)
    parser.add_argument("stage", metavar="STAGE", help=", ".join(STAGES))


def close(parser: argparse.ArgumentParser) -> None:
    """Saying how a job ended."""
    _number(parser)
    parser.add_argument("--outcome", metavar="WORD", help=", ".join(OUTCOMES))
    parser.add_argument("--minutes", metavar="N", help="time at the bench")
    parser.add_argument("--work", metavar="TEXT", help="what was done")
    parser.add_argument(
        "--part", action="append", metavar="WHAT", help="what went in: 'relay 24 V', '10x 1 ohm'"
    )
    parser.add_argument("--fault", action="append", metavar="ENTRY", help="the fault found")
    parser.add_argument("--safety-test", metavar="TEXT", help="what was tested, and how it read")
    parser.add_argument("--soak", metavar="N", help="minutes it ran before it was believed")
    parser.add_argument("--handed-over", metavar="DAY", help="it is out: 2026-11-25 or today")


def listing(parser: argparse.ArgumentParser) -> None:
    """Which jobs to list."""
    _wanted(parser)
    parser.add_argument("--limit", metavar="N", default="20", help="how many to show (20)")


def show(parser: argparse.ArgumentParser) -> None:
    """Which job to show."""
    _number(parser)


def export(parser: argparse.ArgumentParser) -> None:
    """Which jobs to write, where and how."""
    parser.add_argument("file", nargs="?", default="-", metavar="FILE", help=".csv or .jsonl")
    parser.add_argument("--csv", action="store_true", help="CSV, safe to open in a spreadsheet")
    parser.add_argument("--jsonl", action="store_true", help="JSON Lines, everything kept")
    _wanted(parser)


def link(parser: argparse.ArgumentParser) -> None:
    """Linking, or taking links away."""
    _number(parser)
    parser.add_argument("entries", nargs="+", metavar="ENTRY", help="ids of write-ups")


def suggest(parser: argparse.ArgumentParser) -> None:
    """Suggesting links."""
    parser.add_argument("number", nargs="?", metavar="N", help="the job")
    parser.add_argument("--all", action="store_true", help="every job without a link")
    parser.add_argument("--ask", action="store_true", help="ask about each, one by one")
    parser.add_argument("--limit", metavar="N", default="5", help="suggestions for a job (5)")


def rates(parser: argparse.ArgumentParser) -> None:
    """Which figures to show."""
    parser.add_argument("entry", nargs="?", metavar="ENTRY", help="a write-up; all otherwise")
    parser.add_argument("--by", choices=("model", "year"), help="apart by model or year")
    parser.add_argument("--unit", metavar="UNIT", help="faults of this unit and what it contains")


def estimate(parser: argparse.ArgumentParser) -> None:
    """Say what is to be quoted for."""
    parser.add_argument("entry", nargs="?", metavar="ENTRY", help="a write-up")
    parser.add_argument("--unit", metavar="UNIT", help="any fault of this unit, none known yet")
    parser.add_argument("--model", metavar="M", help="units of this model alone")


def readings(parser: argparse.ArgumentParser) -> None:
    """Which learnt readings to show."""
    parser.add_argument("entry", metavar="ENTRY", help="a write-up")
    parser.add_argument("--model", metavar="M", help="units of this model alone")


def salvage(parser: argparse.ArgumentParser) -> None:
    """Where to write what can still be read."""
    parser.add_argument("file", metavar="FILE", help="the new job file, as in saved.sqlite")


def nothing(parser: argparse.ArgumentParser) -> None:
    """No options."""


def _number(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("number", metavar="N", help="the job's number")


def _signs(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--sign", action="append", metavar="SIGN=ANSWER", help="a sign that was looked for"
    )


def _wanted(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--open", action="store_true", help="still in the shop: today's bench")
    parser.add_argument("--unit", metavar="UNIT", help="this unit and what it contains")
    parser.add_argument("--model", metavar="M", help="this model")
    parser.add_argument("--serial", metavar="S", help="this serial tag")
    parser.add_argument("--stage", metavar="STAGE", help=", ".join(STAGES))
    parser.add_argument("--outcome", metavar="WORD", help=", ".join(OUTCOMES))
    parser.add_argument("--fault", metavar="ENTRY", help="linked to this write-up")
    parser.add_argument("--unlinked", action="store_true", help="linked to none")
    parser.add_argument("--since", metavar="DAY", help="booked in from this day on")


SUBS: dict[str, Sub] = {
    "new": Sub("book a unit in, step by step", "intake", new),
    "add": Sub("record jobs from JSON", "adding", add),
    "edit": Sub("change fields of a job", "editing", edit),
    "note": Sub("add a note; fault: and job: in it become links", "noting", note),
    "reading": Sub("record what targets read, with the verdict", "measuring", reading),
    "stage": Sub("say where a job stands", "staging", stage),
    "close": Sub("say how a job ended", "closing", close),
    "list": Sub("list jobs; --open is today's bench", "listing", listing),
    "show": Sub("show a job whole, with what the book knows", "showing", show),
    "ticket": Sub("the ticket to print at intake: --html or --pdf", "ticket", show),
    "hand-over": Sub("the note to print at hand-over: --html or --pdf", "handover", show),
    "export": Sub("write jobs as CSV or JSON Lines", "exporting", export),
    "import": Sub("bring in the shop's existing history", "importing", bring_in),
    "link": Sub("link a job to write-ups", "linking", link),
    "unlink": Sub("take links away", "unlinking", link),
    "suggest": Sub("suggest write-ups for a job, with reasons", "suggesting", suggest),
    "rates": Sub("how often fixes held, and how long they took", "rating", rates),
    "estimate": Sub("minutes and parts for a quote, from past jobs", "estimating", estimate),
    "readings": Sub("what targets read on units that stayed fixed", "learning", readings),
    "salvage": Sub("take out what can be read of a damaged job file", "salvaging", salvage),
    "figures": Sub("bring the kept figures up to date", "refreshing", nothing),
}
