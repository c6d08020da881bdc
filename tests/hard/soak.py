"""Type into the bench screen for long, and see whether it takes ever more memory or handles.

    python tests/hard/soak.py FOLDER [MINUTES] [DOCUMENTS]      (30 minutes, 100,000 documents)

The program runs on a real pseudo-terminal; memory and open files are read from /proc. Prints the
slope of memory over the second half in MB an hour, and the handles at the half and at the end.
"""

from __future__ import annotations

import json
import os
import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common


def main(folder: Path, minutes: float, documents: int) -> dict[str, float]:
    """Make a book, open the screen on it, type, and give the figures."""
    folder.mkdir(parents=True, exist_ok=True)
    book = common.new_book(folder / "book", documents)
    common.command(book, "book", "refresh")
    terminal = common.module("screen/terminal.py")
    chance = random.Random(1)
    samples: list[tuple[float, float, int]] = []
    with terminal.Terminal(environment=common.environment(book)) as one:
        one.until(lambda shown: shown.strip(), patience_s=120)
        began = time.monotonic()
        while (spent := time.monotonic() - began) < minutes * 60:
            one.press(*f"hums {common.word(chance.randrange(documents))}", "Enter")
            one.settled(lambda shown: True)
            one.press("Escape", *["Backspace"] * 20)
            proc = Path("/proc", str(one.process.pid))
            pages = int((proc / "statm").read_text().split()[1])
            memory = pages * os.sysconf("SC_PAGE_SIZE") / 1e6
            samples.append((spent, memory, len(os.listdir(proc / "fd"))))
    late = samples[len(samples) // 2 :]
    middle = sum(at for at, _, _ in late) / len(late)
    mean = sum(memory for _, memory, _ in late) / len(late)
    rise = sum((at - middle) * (memory - mean) for at, memory, _ in late)
    spread = sum((at - middle) ** 2 for at, _, _ in late) or 1
    return {
        "minutes": minutes, "documents": documents, "searches": len(samples),
        "memory_mb": round(late[-1][1], 1), "slope_mb_an_hour": round(rise / spread * 3600, 2),
        "handles_at_half": late[0][2], "handles_at_end": late[-1][2],
    }  # fmt: skip


if __name__ == "__main__":
    given = sys.argv[2:]
    print(json.dumps(main(Path(sys.argv[1]), float(given[0]) if given else 30,
                          int(given[1]) if len(given) > 1 else 100_000)))  # fmt: skip
