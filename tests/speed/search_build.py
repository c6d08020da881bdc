"""Build an index from nothing against Whoosh's plain loop, and refresh after one change.

    python tests/speed/search_build.py [10000]

Whoosh's loop is timed over a tenth of the documents and multiplied: it grows a little faster than
that in truth. Its schema is the cheapest that finds anything: one stemmed field and one key.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from search_corpus import documents

from fixbook.core.query import Request
from fixbook.search import Index


def build_whoosh(folder: Path, count: int) -> float:
    """Give the seconds that Whoosh's plain loop takes."""
    from whoosh import analysis, fields, index

    keep = analysis.StemmingAnalyzer(stoplist=None, minsize=1)
    schema = fields.Schema(key=fields.ID(stored=True), text=fields.TEXT(stored=True, analyzer=keep))
    docs = list(documents(count))
    folder.mkdir()
    began = time.perf_counter()
    writer = index.create_in(str(folder), schema).writer()
    for document in docs:
        writer.add_document(key=document.key, text="\n".join(document.parts.values()))
    writer.commit()
    return time.perf_counter() - began


def run(count: int) -> None:
    """Time building and refreshing."""
    folder = Path(tempfile.mkdtemp(prefix="fixbook-speed-"))
    docs = list(documents(count))
    try:
        index = Index(folder / "ours", "1")
        began = time.perf_counter()
        index.update(((d.source, [d]) for d in docs), stamps={d.source: "1" for d in docs})
        took = time.perf_counter() - began
        theirs = build_whoosh(folder / "whoosh", count // 10) * 10
        size = sum(f.stat().st_size for f in (folder / "ours").iterdir()) / 1e6
        print(
            f"build {count:,}: {took:.2f} s, {size:.0f} MB; Whoosh {theirs:.1f} s, {theirs / took:.1f} x ours"
        )
        taken = []
        for n in range(25):
            changed = docs[n * 7]
            began = time.perf_counter()
            index.update({changed.source: [changed]}, stamps={changed.source: f"{n + 2}"})
            index.search(Request("hum in the left channel"))
            taken.append((time.perf_counter() - began) * 1e3)
        print(f"refresh and search: middle {median(taken):.0f} ms, worst {max(taken):.0f} ms")
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    run(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
