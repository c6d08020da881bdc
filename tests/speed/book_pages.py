"""Print a book of 1,000 write-ups as pages, twice, against the half minute it may take.

    python tests/speed/book_pages.py [1000]

The write-ups are those of the starter book over and over, under other ids. Each printing is a whole
process of `fixbook book print`; the second has to write nothing.
"""

from __future__ import annotations

import json
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from fixbook.store.bundled import starter_folder

LIMIT_S = 30.0


def make_book(folder: Path, count: int) -> None:
    """Write a book of so many write-ups, with the starter book's words and pictures."""
    source, entries = starter_folder(), folder / "entries"
    for part in ("vocabulary", "pictures"):
        shutil.copytree(source / part, entries / part)
    (folder / "fixbook.toml").write_text('name = "Many"\nstarter = false\n', encoding="utf-8")
    files = sorted(source.glob("*/*.md"))
    for number in range(count):
        file, turn = files[number % len(files)], number // len(files)
        id = f"{file.stem}-{turn}" if turn else file.stem
        text = re.sub(
            r"^id: .*$", f"id: {id}", file.read_text("utf-8"), count=1, flags=re.MULTILINE
        )
        (entries / file.parent.name).mkdir(exist_ok=True)
        (entries / file.parent.name / f"{id}.md").write_text(text, encoding="utf-8")


def main(count: int) -> int:
    """Measure; 1 where it took too long, or the second time wrote anything."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        make_book(home / "book", count)
        environment = {**os.environ, "XDG_CACHE_HOME": str(home / "cache")}
        command = [sys.executable, "-m", "fixbook", "book", "print", str(home / "pages"), "--json"]
        slow = wrong = False
        for turn in ("first", "second"):
            began, used = time.monotonic(), _used()
            done = subprocess.run(
                [*command, "--book", str(home / "book")],
                env=environment, check=True, capture_output=True, text=True,
            )  # fmt: skip
            took = time.monotonic() - began
            said = json.loads(done.stdout)
            print(f"{turn}: {took:.1f} s, {_used() - used:.1f} s of CPU, {said['written']} written")
            slow, wrong = slow or took > LIMIT_S, turn == "second" and said["written"] > 0
    return 1 if slow or wrong else 0


def _used() -> float:
    found = resource.getrusage(resource.RUSAGE_CHILDREN)
    return found.ru_utime + found.ru_stime


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
