"""Bring a made-up history in, and the same again, against the minute it may take.

    python tests/speed/jobs_import.py [100000] [csv|xlsx|jsonl]

Each import is a whole process of `fixbook job import`; the limit is 60 s for 100,000 rows.
"""

from __future__ import annotations

import csv
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

LIMIT_S = 60.0
COLUMNS = (
    "Job No", "Customer", "Date In", "Date Out", "Type", "Make", "Model", "Serial No",
    "Complaint", "Work Done", "Result", "Minutes", "Parts used", "Notes",
)  # fmt: skip


def history(count: int) -> Iterator[tuple[object, ...]]:
    """Give rows as a shop would have them; all can be read."""
    chance = random.Random(5)
    for number in range(count):
        day = f"{chance.randint(1, 28):02}/{chance.randint(1, 12):02}/{chance.randint(2010, 2025)}"
        yield (
            10_000 + number, "Somebody", day, "", chance.choice(("Amplifier", "Disc player")),
            "Made Up", f"MU-{chance.randint(1, 300)}", f"S{chance.randint(1, 10**6)}",
            chance.choice(("hums badly", "no sound, left", "dead", "crackles when turned")),
            chance.choice(("replaced relay RL1", "new reservoir", "cleaned", "")),
            chance.choice(("Repaired", "NFF", "BER", "failed")), chance.randint(5, 300),
            chance.choice(("", "2x 1000uF", "relay; fuse T2A")),
            chance.choice(("", "long soak", "was told, all fine")),
        )  # fmt: skip


def write(path: Path, count: int) -> None:
    """Write the history in the form that the file's ending says."""
    if path.suffix == ".xlsx":
        import openpyxl

        book = openpyxl.Workbook(write_only=True)
        sheet = book.create_sheet()
        for row in (COLUMNS, *history(count)):
            sheet.append(row)
        book.save(path)
        return
    with path.open("w", encoding="utf-8", newline="") as file:
        if path.suffix == ".jsonl":
            for row in history(count):
                file.write(json.dumps(dict(zip(COLUMNS, row, strict=True))) + "\n")
        else:
            csv.writer(file).writerows([COLUMNS, *history(count)])


def bring(book: Path, path: Path) -> float:
    """Run an import; give its seconds."""
    kept = {name: text for name, text in os.environ.items() if not name.startswith("FIXBOOK_")}
    homes = {f"XDG_{name}_HOME": str(book.parent / name) for name in ("CACHE", "DATA", "CONFIG")}
    began = time.perf_counter()
    words = ["job", "import", str(path), "--book", str(book), "--json"]
    done = subprocess.run(
        [sys.executable, "-m", "fixbook", *words],
        env={**kept, **homes},
        capture_output=True,
        check=True,
    )
    taken = time.perf_counter() - began
    found = json.loads(done.stdout)
    counts = {name: found[name] for name in ("added", "changed", "same", "rejected")}
    print(f"{taken:6.1f} s", counts)
    return taken


def main(count: int, ending: str) -> int:
    """Time a first and a second import; 1 where one takes longer than it may."""
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder, "book")
        (book / "entries").mkdir(parents=True)
        (book / "fixbook.toml").write_text("", encoding="utf-8")
        path = Path(folder, f"jobs.{ending}")
        write(path, count)
        slowest = max(bring(book, path) for _ in range(2))
    return int(slowest > LIMIT_S * max(1.0, count / 100_000))


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(int(given[0]) if given else 100_000, given[1] if len(given) > 1 else "csv"))
