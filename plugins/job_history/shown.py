"""A job as blocks, and the lines that several commands say."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from fixbook.api import (
    KINDS,
    Bench,
    Block,
    FixbookError,
    PanelBlock,
    TableBlock,
    TextBlock,
    show,
)

from .job import HANDED_OVER, Job, PartUsed

COLUMNS = ("job", "booked in", "stage or outcome", "unit or model", "shelf", "complaint")
CUT = ("unit or model", "complaint")
"""What `job show` has whole, and a list only as far as the line goes."""
MOST_SHOWN = 200
"""Letters of a complaint in a list."""


def print_json(value: object) -> None:
    """Print a value as JSON."""
    print(json.dumps(value, indent=1))


def say(bench: Bench, text: str) -> None:
    """Show a sentence."""
    bench.show([TextBlock("", text)])


def day(value: object) -> str:
    """Give a date as ISO text; empty where there is none."""
    return value.isoformat() if hasattr(value, "isoformat") else ""


def title(bench: Bench, entry: str) -> str:
    """Give an entry's title; a word about it where its write-up is gone."""
    try:
        return bench.entry(entry).title
    except FixbookError:
        return "(no such write-up now)"


def jobs_table(jobs: Iterable[Job], heading: str = "") -> TableBlock:
    """Lay jobs out, one a line; those that are out have their outcome for their stage."""
    rows = [
        (
            job.number,
            day(job.booked_in),
            job.outcome if job.outcome and job.stage == HANDED_OVER else job.stage,
            job.model or job.unit,
            job.shelf,
            shortened(job.complaint, MOST_SHOWN),
        )
        for job in jobs
    ]
    used = [at for at in range(len(COLUMNS)) if any(row[at] for row in rows)]
    return TableBlock(
        heading,
        tuple(COLUMNS[at] for at in used),
        tuple(tuple(row[at] for at in used) for row in rows),
        cut=CUT,
    )


def panel(heading: str, pairs: Sequence[tuple[str, object]], note: str = "") -> PanelBlock:
    """Lay named values out, leaving out the empty ones."""
    return PanelBlock(
        heading, {name: str(value) for name, value in pairs if value not in ("", None)}, note
    )


def parts_table(parts: Sequence[PartUsed]) -> list[Block]:
    """Lay the parts that went in out."""
    rows = tuple((str(one.count), one.what, one.value, one.at) for one in parts)
    return [TableBlock("Parts used", ("count", "what", "value", "at"), rows)] if rows else []


def readings_table(job: Job) -> list[Block]:
    """Lay what was read out."""
    rows = tuple(
        (
            one.target,
            quantity(one.before, one.kind),
            quantity(one.after, one.kind),
            one.meter,
            one.fault,
        )
        for one in job.readings
    )
    columns = ("target", "before", "after", "meter", "of")
    return [TableBlock("Readings", columns, rows)] if rows else []


def quantity(value: float | None, kind: str) -> str:
    """Write a reading; empty where none was taken."""
    if value is None:
        return ""
    return show(value, KINDS[kind], digits=6) if kind in KINDS else f"{value:g}"


def shortened(text: str, longest: int = 60) -> str:
    """Give the beginning of a text, on one line."""
    line = " ".join(text.split())
    return line if len(line) <= longest else f"{line[: longest - 1].rstrip()}…"
