"""Cold job commands against a bare interpreter, in a book with so many past jobs.

Run by hand: `python tests/speed/jobs_commands.py [JOBS]`. The limit is 35 times for a job command,
15 for a sheet, 10 for a search.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

from fixbook_plugins.job_history.database import open_file
from fixbook_plugins.job_history.job import OUTCOMES, Job
from fixbook_plugins.job_history.store import Store

TIMES = 7
COMMANDS = {
    "job list": 35,
    "job list --open": 35,
    "job show 7": 35,
    "job edit 7 shelf=B3": 35,
    "job note 7 measured": 35,
    "job link 7 amp-dc-offset": 35,
    "job stage 7 on-bench": 35,
    "job new --complaint hums": 35,
    "job rates amp-relay-contacts": 35,
    "job readings amp-relay-contacts": 35,
    "job suggest 7": 35,
    "sheet amp-relay-contacts": 15,
    "find hums": 10,
}
FAULTS = ("amp-relay-contacts", "amp-dc-offset", "amp-volume-crackle", "amp-cracked-joint")


def history(count: int) -> list[Job]:
    """Make up past jobs."""
    first = date(2020, 1, 1)
    return [
        Job(
            str(number),
            first + timedelta(days=number % 2000),
            first + timedelta(days=number % 2000 + 4),
            unit="power-amplifier",
            model=f"QX-{number % 40}",
            complaint="one side drops out when warm",
            stage="handed-over",
            outcome=OUTCOMES[number % 6],
            minutes=number % 90 + 1,
            faults=(FAULTS[number % 4],),
        )
        for number in range(1, count + 1)
    ]


def milliseconds(command: list[str]) -> float:
    """Give the median time of a command."""
    spent = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
        spent.append(time.perf_counter() - begun)
    return statistics.median(spent) * 1000


def main(count: int) -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as made:
        for name in ("CACHE", "DATA", "CONFIG"):
            os.environ[f"XDG_{name}_HOME"] = str(Path(made, name))
        os.environ["FIXBOOK_BOOK"] = made
        Path(made, "fixbook.toml").write_text('name = "Speed"\n')
        Path(made, "entries").mkdir()
        with Store(open_file(Path(made, "jobs.sqlite"))) as store:
            store.merge(history(count))
        bare = milliseconds([sys.executable, "-c", "pass"])
        print(f"{count:,} jobs; a bare interpreter takes {bare:.0f} ms")
        for words, limit in COMMANDS.items():
            command = [sys.executable, "-m", "fixbook", *words.split()]
            subprocess.run(command, stdout=subprocess.DEVNULL, check=False)  # the caches are there
            took = milliseconds(command)
            print(f"{took:6.0f} ms  {took / bare:5.1f} x (limit {limit})  fixbook {words}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
