"""A whole process that imports the search and answers, against a bare interpreter.

python tests/speed/search_cold.py [120 10000 …]
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from search_corpus import documents

from fixbook.search import Index

ROUNDS = 21
ASK = """
import sys
from pathlib import Path
from fixbook.core.query import Request
from fixbook.search import Index
index = Index(Path(sys.argv[1]), "1")
index.sources()
index.search(Request(sys.argv[2]))
"""


def time_process(*arguments: str) -> float:
    """Give the middle of a process's time in milliseconds."""
    taken = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True)
        taken.append((time.perf_counter() - began) * 1e3)
    return median(taken)


def run(counts: list[int]) -> None:
    """Time the processes."""
    folder = Path(tempfile.mkdtemp(prefix="fixbook-speed-"))
    try:
        bare = time_process("-c", "pass")
        imported = time_process("-c", "import fixbook.search") - bare
        print(f"bare interpreter {bare:.1f} ms; import of the search {imported:+.1f} ms")
        for count in counts:
            at = folder / str(count)
            docs = list(documents(count))
            Index(at, "1").update(((d.source, [d]) for d in docs), stamps={})
            for words in ("hum in the left channel when cold", "rellay contcat burnt"):
                took = time_process("-c", ASK, str(at), words)
                print(
                    f"{count:>7,} documents: {took - bare:+.1f} ms, {took / bare:.1f} x bare: {words}"
                )
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    run([int(text) for text in sys.argv[1:]] or [120, 10_000])
