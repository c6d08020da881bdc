"""Damage the cache of a book in many ways, and count the answers that it changes.

    python tests/hard/damage.py FOLDER [COUNT [SEED]]

Each time one to three files of the cache (the index, and what is kept beside it) are cut off,
emptied, filled with noise, changed by a bit, exchanged, removed or replaced. The next search must
give the answers from before. Damage that no search came across (`unmet`: pages are checked when
they are read) is looked for then, and must be mended by the next refresh. Prints the counts as
JSON; `wrong`, `failed` and `unhealed` have to be zero, and `slowest_s` says how long a search took
that had to make its index anew.
"""

from __future__ import annotations

import json
import random
import shutil
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common

from fixbook.app.indexing import BookIndex
from fixbook.core.query import Request
from fixbook.search import State

QUERIES = ["hums", common.word(3), common.word(40), "low note all the time", "nothing of it", ""]
Damage = Callable[[Path, random.Random, list[Path]], None]


def cut(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Leave the beginning."""
    path.write_bytes(path.read_bytes()[: chance.randrange(path.stat().st_size or 1)])


def empty(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Leave nothing."""
    path.write_bytes(b"")


def noise(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Fill a stretch with noise."""
    data = bytearray(path.read_bytes())
    at = chance.randrange(len(data) or 1)
    data[at : at + 4096] = chance.randbytes(len(data[at : at + 4096]))
    path.write_bytes(data)


def zeros(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Fill it with zeros, as some file systems do after a power cut."""
    path.write_bytes(bytes(path.stat().st_size))


def flip(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Change one bit."""
    data = bytearray(path.read_bytes()) or bytearray(1)
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    path.write_bytes(data)


def grow(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Add noise at the end."""
    path.write_bytes(path.read_bytes() + chance.randbytes(chance.randrange(1, 9999)))


def remove(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Take it away."""
    path.unlink()


def exchange(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Put the content of another file in its place."""
    path.write_bytes(chance.choice(others).read_bytes())


def folder_instead(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Put a folder in its place."""
    path.unlink()
    path.mkdir()


def link_instead(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Put a link that leads nowhere in its place."""
    path.unlink()
    path.symlink_to(path.parent / "nowhere")


def unreadable(path: Path, chance: random.Random, others: list[Path]) -> None:
    """Take the right to read it away."""
    path.chmod(0)


WAYS: list[Damage] = [
    cut, empty, noise, zeros, flip, grow, remove, exchange, folder_instead, link_instead,
    unreadable,
]  # fmt: skip


def answers(book: Path) -> list[list[str]]:
    """Search a book as a command does; the keys that are found, and the words mended."""
    index = BookIndex(common.library(book))
    index.refresh()
    found = [index.search(Request(words)) for words in QUERIES]
    index.close()
    return [[one.searched, *(hit.key for hit in one.hits)] for one in found]


def main(folder: Path, count: int, seed: int = 11) -> dict[str, float]:
    """Damage so many indexes of a made-up book; the counts."""
    chance = random.Random(seed)
    book = common.new_book(folder / "book", 60)
    caches, kept = common.folders(book).cache, folder / "kept"
    before = answers(book)
    for number in (3, 9, 20):  # more than one part, and something deleted
        common.add(book, number, number)
        (book / "entries" / "test-amp" / f"amp-{number:05d}.md").touch()
        answers(book)
    before = answers(book)
    shutil.copytree(caches, kept)
    counts = {"damaged": 0, "wrong": 0, "failed": 0, "unmet": 0, "unhealed": 0, "slowest_s": 0.0}
    for number in common.turns(count):
        shutil.rmtree(caches)
        shutil.copytree(kept, caches)
        files = sorted(path for path in caches.rglob("*") if path.is_file())
        how = WAYS[number % len(WAYS)]
        hurt = chance.sample(files, chance.randint(1, 3))
        for path in hurt:
            how(path, chance, files)
        counts["damaged"] += 1
        began = time.perf_counter()
        try:
            wrong = answers(book) != before
            index = BookIndex(common.library(book))
            index.refresh()
            met = index._index.check().state is State.READY
            index.refresh()
            whole = index._index.check().state is State.READY
            index.close()
        except Exception as error:  # noqa: BLE001  # whatever it is, it is counted and shown
            counts["failed"] += 1
            print(f"{how.__name__} of {[path.name for path in hurt]}: {error!r}", file=sys.stderr)
            continue
        counts["slowest_s"] = max(counts["slowest_s"], round(time.perf_counter() - began, 2))
        counts["wrong"] += wrong
        counts["unmet"] += not met
        counts["unhealed"] += not whole
        if wrong or not whole:
            said = f"wrong {wrong}, whole {whole}"
            print(f"{how.__name__} of {[path.name for path in hurt]}: {said}", file=sys.stderr)
    return counts


if __name__ == "__main__":
    found = main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 200,
                 *map(int, sys.argv[3:4]))  # fmt: skip
    print(json.dumps(found))
    sys.exit(bool(found["wrong"] or found["failed"] or found["unhealed"]))
