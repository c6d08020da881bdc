"""A made-up book on disk, with as many write-ups and jobs as are asked for; kept between runs.

python tests/speed/screen_book.py FOLDER 10000
"""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from search_corpus import documents

SIGNS, HAZARDS, UNITS = 300, 16, 20


def vocabulary() -> str:
    """Give the vocabulary that the write-ups use."""
    lines = ["units:"]
    lines += [f"  unit-{n}: {{name: unit number {n}}}" for n in range(UNITS)]
    lines.append("signs:")
    for n in range(SIGNS):
        lines.append(
            f"  sign-{n}: {{ask: Does it show sign {n}?, background: {{seen: 0.1}}, minutes: 2}}"
        )
    lines.append("hazards:")
    for n in range(HAZARDS):
        lines.append(f"  hazard-{n}: {{short: Hazard {n} hurts., full: Hazard {n} hurts. Stop.}}")
    return "\n".join(lines) + "\n"


def entry(document: Any) -> str:
    """Give a write-up's file."""
    facets, parts = document.facets, document.parts
    signs = "".join(f"  {name}: usually\n" for name in dict.fromkeys(facets["sign"]))
    steps = "\n".join(f"{n}. {one}." for n, one in enumerate(parts["body"].split(". "), 1))
    return f"""---
id: {document.key}
kind: fault
title: "{parts["title"]}"
unit: {facets["unit"][0]}
section: {facets["section"][0]}
models: [{", ".join(facets["model"])}]
share: occasional
signs:
{signs}hazards: [{", ".join(facets["hazard"])}]
skill: through-hole
minutes: 40
tools: [multimeter]
targets:
  - name: rail
    at: across the reservoir
    reads: dc
    window: 11 .. 13 V
state: written
revised: 2026-11-25
---

## How it shows

{parts["lay"]}.

## Step by step

{steps}
"""


def make(folder: Path, count: int) -> Path:
    """Make the book, unless it is there already."""
    done = folder / f"made-{count}"
    if done.exists():
        return folder
    (folder / "entries" / "vocabulary").mkdir(parents=True, exist_ok=True)
    (folder / "fixbook.toml").write_text('name = "Speed"\nstarter = false\n')
    (folder / "entries" / "vocabulary" / "words.yaml").write_text(vocabulary())
    for n in range(UNITS):
        (folder / "entries" / f"unit-{n}").mkdir(exist_ok=True)
    for document in documents(count):
        unit = document.facets["unit"][0]
        (folder / "entries" / unit / f"{document.key}.md").write_text(entry(document))
    add_jobs(folder, count)
    done.touch()
    return folder


def add_jobs(folder: Path, count: int) -> None:
    """Record as many jobs as there are write-ups, each linked to one."""
    from fixbook_plugins.job_history.job import Job
    from fixbook_plugins.job_history.store import open_store

    from fixbook.app.bench import LibraryBench
    from fixbook.app.folders import user_folders
    from fixbook.app.library import Library
    from fixbook.settings import Place

    rng = random.Random(3)

    def jobs() -> Iterator[Job]:
        for n in range(count):
            at = rng.randrange(count)
            yield Job(
                str(n + 1),
                booked_in=date(2024, 1, 1) + timedelta(days=n % 700),
                handed_over=date(2024, 1, 8) + timedelta(days=n % 700),
                unit=f"unit-{at % UNITS}",
                complaint="hums and drops out when warm",
                stage="handed-over",
                faults=(f"entry-{at:06}",),
                minutes=rng.randrange(10, 200),
                outcome=rng.choice(("fixed", "fixed", "fixed", "improved", "not-fixed")),
            )

    library = Library(Place(folder, "--book"), user_folders())
    with open_store(LibraryBench(library)) as store:
        store.merge(jobs())


if __name__ == "__main__":
    place = Path(sys.argv[1])
    os.environ.setdefault("XDG_CACHE_HOME", str(place / "cache"))
    make(place, int(sys.argv[2]))
