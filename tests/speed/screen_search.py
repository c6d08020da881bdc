"""One search of the bench screen, as typed, and a changed file until it is found; with memory.

    python tests/speed/screen_search.py FOLDER 10000

The book is made in FOLDER if it is not there. Every prefix of ten queries is searched twice over.
"""

from __future__ import annotations

import os
import resource
import sys
import time
from pathlib import Path
from statistics import median

from screen_book import make
from search_corpus import QUERIES

from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.screen.requests import Opened, Search
from fixbook.screen.seeking import Seeker, Watcher
from fixbook.settings import Place

LIMITS = {"80x24": 10, "250x70": 22}
"""Hits that are asked for at each size: one more than fit."""


def run(folder: Path, count: int) -> None:
    """Measure."""
    os.environ["XDG_CACHE_HOME"] = str(folder / "cache")
    make(folder, count)
    told: list[Opened] = []
    seeker = Seeker(lambda reader: None)
    library = Library(Place(folder, "--book"), user_folders())
    watcher = Watcher(library, seeker.take, told.append, lambda what, done, whole: None)
    began = time.perf_counter()
    watcher.look()
    print(f"{count:,} write-ups and jobs: opened in {time.perf_counter() - began:.2f} s")
    prefixes = [text[:at] for text in QUERIES for at in range(1, len(text) + 1)]
    for size, limit in LIMITS.items():
        for narrowed in ((), (("unit", "unit-3"), ("sign", "sign-7"))):
            taken = []
            for turn, words in enumerate(prefixes * 2):
                began = time.perf_counter()
                found = seeker.search(Search(words, narrowed, limit, turn, 1))
                taken.append((time.perf_counter() - began) * 1e3)
                assert found is not None
                assert not found.problem, found.problem
            taken = sorted(taken[len(prefixes) :])
            with_ = ", narrowed" if narrowed else ""
            tail = taken[int(len(taken) * 0.99)]
            print(
                f"  search at {size}{with_}: middle {median(taken):.2f} ms, 99 of 100 below "
                f"{tail:.1f}, worst {taken[-1]:.1f}"
            )
    path = next((folder / "entries" / "unit-3").glob("*.md"))
    text, took, idle = path.read_text(), [], []
    for n in range(12):
        path.write_text(text + f"\nQuibblewort{n} is loose.\n")
        began = time.perf_counter()
        watcher.look()
        found = seeker.search(Search(f"quibblewort{n}", (), 10, 0, 1))
        took.append((time.perf_counter() - began) * 1e3)
        assert found is not None
        assert found.findings.total == 1, (n, found.findings)
        began = time.perf_counter()
        watcher.look()
        idle.append((time.perf_counter() - began) * 1e3)
    path.write_text(text)
    print(f"  a changed file seen and found: middle {median(took):.0f} ms, worst {max(took):.0f}")
    print(f"  a look again, right after: middle {median(idle):.0f} ms")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"  memory, at most: {peak:.0f} MiB")


if __name__ == "__main__":
    run(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000)
