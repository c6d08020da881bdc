"""How long proofing a large made-up book takes: `python tests/speed/proof_book.py 3000`."""

from __future__ import annotations

import random
import resource
import sys
import tempfile
import time
from pathlib import Path

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.app.proofing import proof
from fixbook.settings import Place
from fixbook.store.bundled import starter_folder
from fixbook.store.document import join, read_document


def main(count: int) -> None:
    """Make a book of so many write-ups out of the starter book's words, and proof it."""
    chance = random.Random(5)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sources = [
            path for path in starter_folder().glob("*/*.md") if path.parent.name != "technique"
        ]
        words = " ".join(path.read_text("utf-8") for path in sources).split()
        for number in range(count):
            source = chance.choice(sources)
            document = read_document(source.read_text("utf-8"), source.name)
            front = document.front_text.replace(f"id: {source.stem}", f"id: made-{number}", 1)
            body = "\n## Step by step\n\n1. Unplug it.\n\n" + " ".join(
                word for word in chance.choices(words, k=400) if word.isalpha()
            )
            path = folder / "entries" / source.parent.name / f"made-{number}.md"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(join(front, body + "\n"), encoding="utf-8")
        library = Library(Place(folder, "test"), Folders(folder / "c", folder / "c", folder / "c"))
        begun = time.perf_counter()
        found = proof(library)
        took = time.perf_counter() - begun
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{found.files} files, {len(found.problems)} faults, {took:.1f} s, {memory:.0f} MiB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
