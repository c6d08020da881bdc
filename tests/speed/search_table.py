"""Build, ask and change, side by side with other engines: the table of search speed.

    python tests/speed/search_table.py [--sizes 1000,10000,100000] [--only NAME,NAME]
                                       [--slow-to 10000]

Needs `pip install tantivy bm25s`; an engine that is not there is left out. Every figure comes from
a process of its own, so that memory is its own too. Whoosh and FTS5 take minutes at 100,000
documents: `--slow-to` says up to which size they run. Cold is a whole process with one question;
warm the questions of `search_corpus` after a first round. All in milliseconds but build (seconds),
size and memory (megabytes). Slopes are the milliseconds, or seconds, that ten times the documents
multiply by; the last line draws them out to a million, on paper.
"""

from __future__ import annotations

import argparse
import json
import math
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles

HERE = Path(__file__).parent
COLD_ROUNDS = 5
WARM_ROUNDS = 7
CHANGES = 9
SLOW = ("Whoosh", "SQLite FTS5")
COLUMNS = ("build s", "size MB", "cold", "warm", "99 %", "change", "worst", "memory MB")


def memory_mb() -> float:
    """Give the most memory this process had, in megabytes."""
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def work(phase: str, name: str, folder: Path, count: int) -> dict[str, float]:
    """Be the process of one figure."""
    from search_corpus import QUERIES, documents
    from search_engines import ENGINES

    engine = ENGINES[name]()
    if phase == "build":
        docs = list(documents(count))
        began = time.perf_counter()
        engine.build(folder, docs)
        return {"build s": time.perf_counter() - began}
    engine.open(folder)
    if phase == "cold":
        engine.ask(QUERIES[0])
        return {}
    if phase == "warm":
        return warm(engine.ask, QUERIES)
    if not engine.takes_changes:
        return {}
    taken = []
    for _, changed in zip(range(CHANGES), documents(count), strict=False):
        began = time.perf_counter()
        engine.change(folder, changed)
        engine.ask(QUERIES[0])
        taken.append((time.perf_counter() - began) * 1e3)
    return {"change": median(taken), "worst": max(taken)}


def warm(ask, questions) -> dict[str, float]:
    """Time each question after a first round."""
    for words in questions:
        ask(words)
    taken = []
    for _ in range(WARM_ROUNDS):
        for words in questions:
            began = time.perf_counter()
            ask(words)
            taken.append((time.perf_counter() - began) * 1e3)
    late = quantiles(taken, n=100)[98]
    return {"warm": median(taken), "99 %": late, "memory MB": memory_mb()}


def run_phase(phase: str, name: str, folder: Path, count: int) -> dict[str, float]:
    """Run one process and give its figures."""
    arguments = ["--work", phase, "--only", name, "--folder", str(folder), "--sizes", str(count)]
    ran = subprocess.run(
        [sys.executable, __file__, *arguments], capture_output=True, text=True, check=False
    )
    if ran.returncode:
        raise RuntimeError(ran.stderr.strip().splitlines()[-1])
    found: dict[str, float] = json.loads(ran.stdout)
    return found


def measure(name: str, count: int, folder: Path) -> dict[str, float]:
    """Give all figures of one engine at one size."""
    folder.mkdir()
    row = run_phase("build", name, folder, count)
    row["size MB"] = sum(f.stat().st_size for f in folder.rglob("*") if f.is_file()) / 1e6
    taken = []
    for _ in range(COLD_ROUNDS):
        began = time.perf_counter()
        run_phase("cold", name, folder, count)
        taken.append((time.perf_counter() - began) * 1e3)
    row["cold"] = median(taken)
    row |= run_phase("warm", name, folder, count)
    row |= run_phase("change", name, folder, count)
    return row


def line(name: str, row: dict[str, float]) -> str:
    """Lay one row out."""
    cells = (f"{row[c]:>10.1f}" if c in row else f"{'-':>10}" for c in COLUMNS)
    return f"  {name:14}" + "".join(cells)


def slope(rows: dict[int, dict[str, float]], column: str) -> float | None:
    """Give what ten times the documents multiply a figure by, over the two largest sizes."""
    sizes = sorted(size for size, row in rows.items() if column in row)[-2:]
    if len(sizes) < 2:
        return None
    first, last = (rows[size][column] for size in sizes)
    return (last / first) ** (1 / math.log10(sizes[1] / sizes[0]))


def run(sizes: list[int], names: list[str], slow_to: int) -> None:
    """Print the tables."""
    table: dict[str, dict[int, dict[str, float]]] = {}
    root = Path(tempfile.mkdtemp(prefix="fixbook-speed-"))
    try:
        for count in sizes:
            print(f"{count:,} documents".ljust(16) + "".join(f"{c:>10}" for c in COLUMNS))
            for name in names:
                if name in SLOW and count > slow_to:
                    print(f"  {name:14} not run")
                    continue
                folder = root / f"{name}-{count}".replace(" ", "-")
                try:
                    row = measure(name, count, folder)
                except RuntimeError as problem:
                    print(f"  {name:14} left out: {problem}")
                    continue
                table.setdefault(name, {})[count] = row
                print(line(name, row), flush=True)
                shutil.rmtree(folder)
    finally:
        shutil.rmtree(root)
    if len(sizes) < 2:
        return
    print("ten times the documents multiply by; a million, on paper")
    for name, rows in table.items():
        largest = max(rows)
        for column in ("build s", "warm", "cold"):
            factor = slope(rows, column)
            if factor:
                million = rows[largest][column] * factor ** math.log10(1e6 / largest)
                print(f"  {name:14} {column:8} x {factor:5.2f}   {million:12,.1f}")


def main() -> None:
    """Read the options."""
    parser = argparse.ArgumentParser(description="Measure search beside other engines.")
    parser.add_argument("--sizes", default="1000,10000")
    parser.add_argument("--only", default="")
    parser.add_argument("--slow-to", type=int, default=10_000)
    parser.add_argument("--work", help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    sizes = [int(text) for text in given.sizes.split(",")]
    if given.work:
        print(json.dumps(work(given.work, given.only, given.folder, sizes[0])))
        return
    from search_engines import ENGINES

    run(sizes, given.only.split(",") if given.only else list(ENGINES), given.slow_to)


if __name__ == "__main__":
    main()
