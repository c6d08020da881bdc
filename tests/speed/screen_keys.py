"""From key to painted result, on a real pseudo-terminal, typed ten keys a second; with memory.

    python tests/speed/screen_keys.py FOLDER 10000 [KEYS] [COLUMNSxROWS …]

`echo` is the time until the first paint after a key, `settled` until the last one before the next
key: the results of what was typed, and with two sides the sheet of the best of them.
"""

from __future__ import annotations

import os
import select
import subprocess
import sys
import time
from itertools import cycle
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1] / "screen"))
from screen_book import make
from search_corpus import QUERIES
from terminal import Terminal

PACE_S = 0.1
ROUNDS = 11


def typed() -> cycle[bytes]:
    """Give keys for ever: each query, then a line cleared by Escape."""
    return cycle([key for text in QUERIES for key in (*(c.encode() for c in text), b"\x1b")])


def measure(terminal: Terminal, count: int) -> tuple[list[float], list[float]]:
    """Type, and give the times in milliseconds until the first and the last paint."""
    first, last = [], []
    keys = typed()
    for _ in range(count):
        key = next(keys)
        began = time.perf_counter()
        os.write(terminal._master, key)
        end, seen = began + PACE_S, []
        while (left := end - time.perf_counter()) > 0:
            if select.select([terminal._master], [], [], left)[0]:
                seen.append((time.perf_counter() - began) * 1e3)
                terminal._read_raw()
        if seen and key != b"\x1b":  # Escape waits for the rest of a key's code
            first.append(seen[0])
            last.append(seen[-1])
    return first, last


def first_paint(environment: dict[str, str]) -> tuple[float, float]:
    """Give the middle of the times to the first paint, and of a bare interpreter."""
    taken, bare = [], []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        with Terminal(80, 24, environment=environment) as terminal:
            terminal.until("find:")
            taken.append((time.perf_counter() - began) * 1e3)
        began = time.perf_counter()
        subprocess.run([sys.executable, "-c", "pass"], check=True)
        bare.append((time.perf_counter() - began) * 1e3)
    return median(taken), median(bare)


def memory(process: int) -> str:
    """Say how much memory a process has, and had at most."""
    lines = Path(f"/proc/{process}/status").read_text().split("\n")
    sizes = dict(line.split(":", 1) for line in lines if line.startswith(("VmRSS", "VmHWM")))
    return ", ".join(
        f"{name} {int(text.split()[0]) / 1024:.0f} MiB" for name, text in sizes.items()
    )


def run(folder: Path, count: int, keys: int, sizes: list[str]) -> None:
    """Measure."""
    environment = {
        "FIXBOOK_BOOK": str(folder),
        "XDG_CACHE_HOME": str(folder / "cache"),
        "XDG_DATA_HOME": str(folder / "data"),
    }
    os.environ["XDG_CACHE_HOME"] = environment["XDG_CACHE_HOME"]
    make(folder, count)
    paint, bare = first_paint(environment)
    print(f"{count:,}: first paint {paint:.0f} ms, {paint / bare:.1f} x a bare interpreter")
    for size in sizes:
        columns, rows = (int(one) for one in size.split("x"))
        with Terminal(columns, rows, environment=environment) as terminal:
            terminal.until("found", patience_s=600)
            first, last = measure(terminal, keys)
            for name, taken in (("echo", sorted(first)), ("settled", sorted(last))):
                tail = taken[int(len(taken) * 0.99)]
                print(
                    f"  {size} {name}: middle {median(taken):.1f} ms, 99 of 100 below {tail:.0f}, "
                    f"worst {taken[-1]:.0f} ({len(taken)} keys)"
                )
            print(f"  {size} memory: {memory(terminal.process.pid)}")


if __name__ == "__main__":
    given = sys.argv[2:]
    run(
        Path(sys.argv[1]),
        int(given[0]) if given else 10_000,
        int(given[1]) if len(given) > 1 else 1000,
        given[2:] or ["80x24", "250x70"],
    )
