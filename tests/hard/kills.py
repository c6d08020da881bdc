"""Kill fixbook without warning at random moments of everything it writes, and count the damage.

    [FIXBOOK_TEST_SECONDS=500] python tests/hard/kills.py FOLDER [KILLS] [KIND ...]

Kinds: build, apart (a build by several processes), refresh, merge, write, job, import, trust,
settings, backup, restore. KILLS is the whole number, shared out among the kinds. Each line of JSON
has the counts of one kind; every column but `kills` and `hit` has to be zero:
`lost` (something accepted is gone), `half` (something is half written), `unhealed` (the next
command does not put it right by itself), `locked` (a lock stayed behind), `left` (a temporary file
that no later command sweeps up). `hit` counts the kills that fell into the work, not after it.
"""

from __future__ import annotations

import contextlib
import json
import os
import random
import shutil
import sqlite3
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common

from fixbook.app.backing_up import back_up
from fixbook.app.books import new_book
from fixbook.app.indexing import INDEX, BookIndex
from fixbook.app.restoring import restore
from fixbook.core.query import Request
from fixbook.errors import BookError
from fixbook.search import State
from fixbook.search.folder import LOCK
from fixbook.search.manifest import NAME, read_manifest
from fixbook.store.snapshot import take_snapshot
from fixbook.store.trust import FILE as TRUSTED
from fixbook.store.trust import plugin_sources, trust, trusted
from fixbook.store.writing import PARTIAL

Counts = dict[str, int]
ZERO = {"kills": 0, "hit": 0, "lost": 0, "half": 0, "unhealed": 0, "locked": 0, "left": 0}
SHARES = {
    "build": 12, "apart": 2, "refresh": 14, "merge": 12, "write": 20, "job": 15, "import": 7,
    "trust": 6, "settings": 6, "backup": 5, "restore": 5,
}  # fmt: skip
"""Out of a hundred and a few."""


def moments(work: Callable[[], object], chance: random.Random) -> Iterator[float]:
    """Give random moments within the time that a piece of work takes."""
    work()  # imports what it needs
    began = time.perf_counter()
    work()
    whole = time.perf_counter() - began
    while True:
        yield chance.random() * whole * 1.1


def age(*places: Path) -> None:
    """Make half-written files so old that they are nobody's."""
    for place in places:
        for path in place.rglob(f"{PARTIAL}*"):
            os.utime(path, (1, 1))


def left(*places: Path) -> int:
    """Count half-written files."""
    return sum(1 for place in places for _ in place.rglob(f"{PARTIAL}*"))


def check_index(book: Path, wanted: dict[str, str], counts: Counts) -> None:
    """Count what is wrong with a book's index after a kill; `wanted` is the id for each word."""
    library = common.library(book)
    index = BookIndex(library)
    began = time.monotonic()
    counts["locked"] += index.refresh().busy or time.monotonic() - began > 30
    found = {one: [hit.shown["id"] for hit in index.search(Request(one)).hits] for one in wanted}
    counts["lost"] += sum(found[one] != [id] for one, id in wanted.items())
    counts["unhealed"] += index._index.check().state is not State.READY
    index.close()
    if counts["kills"] % 5 != 1:
        return
    # Another write, an hour later, sweeps up.
    caches = library.folders.cache
    age(caches)
    common.add(book, 0, 2999)
    index = BookIndex(common.library(book))
    index.refresh()
    index.close()
    manifest = read_manifest(library.cache / INDEX)
    names = (manifest.names if manifest else set()) | {NAME, LOCK}
    counts["left"] += len({one.name for one in (library.cache / INDEX).iterdir()} - names)
    counts["left"] += left(library.cache)
    common.add(book, 0)


def build(folder: Path, kills: int, chance: random.Random, size: int = 40) -> Counts:
    """Kill while an index is made from nothing."""
    counts = dict(ZERO)
    book = common.new_book(folder / "book", size)
    caches = common.folders(book).cache
    wanted = {common.word(n): f"amp-{n:05d}" for n in range(1, size, size // 9)}

    def work() -> None:
        shutil.rmtree(caches, ignore_errors=True)
        BookIndex(common.library(book)).refresh()

    when = moments(work, chance)
    for _ in common.turns(kills):
        shutil.rmtree(caches, ignore_errors=True)
        hit, _ = common.killed(lambda say: work(), next(when))
        counts["kills"] += 1
        counts["hit"] += hit
        check_index(book, wanted, counts)
    return counts


def apart(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while several processes make an index."""
    return build(folder, kills, chance, size=1600)


def refresh(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while changed write-ups are taken in, one after another."""
    counts = dict(ZERO)
    book = common.new_book(folder / "book", 40)
    BookIndex(common.library(book)).refresh()
    keys = {number: number for number in range(40)}
    turn = -1
    first: list[str] = []

    def work(say: common.Say) -> None:
        for step in range(9):
            number, key = (turn * 9 + step) % 39 + 1, 200 + (turn * 9 + step) % 2500
            common.add(book, number, key)
            say(f"{number} {key}")
            BookIndex(common.library(book)).refresh()

    when = moments(lambda: work(first.append), chance)
    next(when)  # undisturbed
    keys |= {int(number): int(key) for number, key in map(str.split, first)}
    for turn in common.turns(kills):  # noqa: B007  # the work looks at it
        hit, said = common.killed(work, next(when))
        counts["kills"] += 1
        counts["hit"] += hit
        keys |= {int(number): int(key) for number, key in map(str.split, said)}
        if said:  # the write of the last one may have been cut short: the file decides
            number = int(said[-1].split()[0]) % 39 + 1
            common.add(book, number, keys[number])
        some = chance.sample(sorted(keys), 8)
        latest = {common.word(keys[n]): f"amp-{n:05d}" for n in some if n}
        once = {one: id for one, id in latest.items()
                if [common.word(key) for key in keys.values()].count(one) == 1}  # fmt: skip
        check_index(book, once, counts)
    return counts


def merge(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while small parts of an index are written together."""
    counts = dict(ZERO)
    book = common.new_book(folder / "book", 40)
    caches, kept = common.folders(book).cache, folder / "kept"
    BookIndex(common.library(book)).refresh()
    for number in range(1, 9):  # each refresh makes a small part, and the next one merges them
        common.add(book, number, 500 + number)
        BookIndex(common.library(book)).refresh()
    shutil.copytree(caches, kept / "cache")
    shutil.copytree(book, kept / "book")

    def again() -> None:
        for place, name in ((caches, "cache"), (book, "book")):
            shutil.rmtree(place, ignore_errors=True)
            shutil.copytree(kept / name, place)
        common.add(book, 20, 600)

    def work() -> None:
        BookIndex(common.library(book)).refresh()

    again()
    when = moments(work, chance)
    wanted = {common.word(500 + n): f"amp-{n:05d}" for n in range(1, 9)}
    wanted |= {common.word(600): "amp-00020", common.word(30): "amp-00030"}
    for _ in common.turns(kills):
        again()
        hit, _ = common.killed(lambda say: work(), next(when))
        counts["kills"] += 1
        counts["hit"] += hit
        check_index(book, wanted, counts)
    return counts


def write(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill a writer that drafts, files and renames."""
    made = common.module("app/kills.py").main(folder / "book", kills)
    book = folder / "book"
    age(book)
    common.add(book, 1)
    library = common.library(book)
    for part in ("drafts", "entries/test-amp"):  # the next write there sweeps up
        path = book / part / "amp-00001.md"
        path.write_text("x", encoding="utf-8")
        take_snapshot(path).write("y")
    return {
        **ZERO, "kills": made["kills"], "hit": made["kills"], "lost": made["lost"],
        "half": made["half"], "unhealed": made["unfinished"], "left": left(library.own or book),
    }  # fmt: skip


def job(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill a bench that saves, links and notes jobs."""
    from fixbook_plugins.job_history.database import open_file
    from fixbook_plugins.job_history.store import Store

    killer = common.module("plugins/job_history/test_killed.py")
    file = folder / "jobs.sqlite"
    accepted = killer.killed(file, kills)
    counts = {**ZERO, "kills": kills, "hit": kills}
    with Store(open_file(file)) as store:
        jobs = store.many(number for _, number in accepted)
    for what, number in accepted:
        one = jobs.get(number)
        counts["lost"] += one is None
        if one is not None:
            counts["half"] += what == "linked" and one.faults != ("amp-hum", "amp-dc")
            counts["half"] += what == "noted" and (len(one.notes), one.shelf) != (1, "B3")
    with contextlib.closing(sqlite3.connect(file)) as made:
        counts["half"] += made.execute("PRAGMA integrity_check").fetchone() != ("ok",)
        half = "SELECT count(*) FROM (SELECT job FROM job_link GROUP BY job HAVING count(*) <> 2)"
        counts["half"] += made.execute(half).fetchone()[0]
    counts["left"] += len({path.name for path in folder.iterdir()} - {file.name})
    return counts


def import_(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill an import of a history; a last whole run must leave what an undisturbed one does."""
    helper = common.module("plugins/job_history/test_import_killed.py")
    history = folder / "jobs.csv"
    rows = ["Job,Date in,Type,Model,Complaint,Result,Minutes,Parts,Notes"]
    rows += [f"{n},{n % 28 + 1}/{n % 12 + 1}/2024,amp,AV-{n % 50},hums,Repaired,{n % 90},2x fuse,n"
             for n in range(1, 2001)]  # fmt: skip
    history.write_text("\n".join(rows) + "\n", encoding="utf-8")
    still = helper.new_book(folder / "still" / "book")
    helper.finish(still, history)
    undisturbed = helper.content(still)
    counts = dict(ZERO)
    number, had = 0, 0
    book = helper.new_book(folder / "0" / "book")
    for _ in common.turns(kills):
        process = helper.start(book, history)
        timer = threading.Timer(chance.uniform(0.2, 1.2), process.kill)
        timer.start()
        process.communicate(timeout=100)
        timer.cancel()
        counts["kills"] += 1
        counts["hit"] += process.returncode < 0
        count = 0
        if (book / "jobs.sqlite").exists():
            with contextlib.closing(sqlite3.connect(book / "jobs.sqlite")) as made:
                there = made.execute("select 1 from sqlite_master where name = 'job'").fetchall()
                count = made.execute("select count(*) from job").fetchone()[0] if there else 0
        counts["lost"] += count < had
        had = count
        if process.returncode == 0:
            counts["unhealed"] += helper.content(book) != undisturbed
            number, had = number + 1, 0
            shutil.rmtree(book.parent)
            book = helper.new_book(folder / str(number) / "book")
    helper.finish(book, history)
    counts["unhealed"] += helper.content(book) != undisturbed
    age(book)
    helper.finish(book, history)
    counts["left"] += left(book)
    return counts


def trust_(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while trust is given and taken back; what other books trust stays."""
    counts = dict(ZERO)
    book, other = common.new_book(folder / "book", 0), common.new_book(folder / "other", 0)
    config = common.folders(book).config
    for one in (book, other):
        (one / "plugins").mkdir()
        for name in "abc":
            (one / "plugins" / f"{name}.py").write_text(f"{name} = 1\n", encoding="utf-8")
    files = plugin_sources(book)
    trust(config, other, plugin_sources(other))
    wholes = [{file.name: file.digest for file in files[:n]} for n in range(4)]

    def work(say: common.Say) -> None:
        for step in range(200):
            trust(config, book, files[: step % 4])
            say(str(step % 4))

    for _ in common.turns(kills):
        hit, said = common.killed(work, chance.random() * 0.1)
        counts["kills"] += 1
        counts["hit"] += hit
        now = trusted(config, book)
        last = int(said[-1]) if said else None
        counts["half"] += now not in wholes
        counts["lost"] += last is not None and now not in (wholes[last], wholes[(last + 1) % 4])
        counts["lost"] += len(trusted(config, other)) != 3
        age(config)
        trust(config, book, files)
        counts["left"] += {one.name for one in config.iterdir()} != {TRUSTED}
    return counts


def settings(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while a book is made, and while its settings are changed."""
    counts = dict(ZERO)

    def work(say: common.Say) -> None:
        for step in range(200):
            book = folder / f"{turn}-{step}"
            new_book(book)
            say(f"made {step}")
            before = take_snapshot(book / "fixbook.toml")
            before.write(before.text + "warranty_days = 77\n" + "# words\n" * 500 + "# end\n")
            say(f"changed {step}")

    for turn in common.turns(kills):
        hit, said = common.killed(work, chance.random() * 0.1)
        counts["kills"] += 1
        counts["hit"] += hit
        done = {int(text.split()[1]): text.split()[0] for text in said}
        step = max(done, default=-1)
        for at in range(step + 2):
            book = folder / f"{turn}-{at}"
            age(folder)
            with contextlib.suppress(BookError):  # where it was made
                new_book(book)
            text = (book / "fixbook.toml").read_text(encoding="utf-8")
            changed = text.endswith("# end\n")
            counts["half"] += not changed and ("warranty_days = 77" in text or "name" not in text)
            counts["lost"] += done.get(at) == "changed" and not changed
            counts["unhealed"] += not (book / "entries" / "pictures").is_dir()
            take_snapshot(book / "fixbook.toml").write("name = 'x'\n")
            counts["left"] += left(book)
            shutil.rmtree(book)
    return counts


def backup(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while an archive is made in the place of an older one."""
    counts = dict(ZERO)
    book = common.new_book(folder / "book", 150)
    (book / "entries" / "pictures").mkdir()
    (book / "entries" / "pictures" / "a.png").write_bytes(os.urandom(3_000_000))
    target = folder / "b.zip"
    back_up(common.library(book), target)
    common.library(book).registry.manager  # noqa: B018  # loads the plugins before any fork

    def work() -> None:
        back_up(common.library(book), target, replace=True)

    when = moments(work, chance)
    for turn in common.turns(kills):
        common.add(book, turn % 150, 300 + turn)
        hit, _ = common.killed(lambda say: work(), next(when))
        counts["kills"] += 1
        counts["hit"] += hit
        new = folder / "new"
        try:
            restore(target, new)
        except BookError:
            counts["lost"] += 1
        else:
            counts["half"] += sum(1 for _ in new.rglob("*.md")) != 150
            shutil.rmtree(new)
    age(folder)
    work()
    counts["left"] += left(folder)
    return counts


def restore_(folder: Path, kills: int, chance: random.Random) -> Counts:
    """Kill while a book is restored: the folder is there whole, or not at all."""
    counts = dict(ZERO)
    book = common.new_book(folder / "book", 150)
    archive, new = folder / "b.zip", folder / "new"
    back_up(common.library(book), archive)

    def work() -> None:
        shutil.rmtree(new, ignore_errors=True)
        restore(archive, new)

    when = moments(work, chance)
    for _ in common.turns(kills):
        shutil.rmtree(new, ignore_errors=True)
        hit, _ = common.killed(lambda say: work(), next(when))
        counts["kills"] += 1
        counts["hit"] += hit
        if new.exists():
            counts["half"] += sum(1 for _ in new.rglob("*.md")) != 150
    age(folder)
    work()
    counts["left"] += left(folder)
    return counts


KINDS: dict[str, Callable[[Path, int, random.Random], Counts]] = {
    "build": build, "apart": apart, "refresh": refresh, "merge": merge, "write": write, "job": job,
    "import": import_, "trust": trust_, "settings": settings, "backup": backup,
    "restore": restore_,
}  # fmt: skip


def main(folder: Path, kills: int, kinds: list[str]) -> dict[str, Counts]:
    """Kill so often in all, shared out among the kinds; the counts of each, printed as it ends."""
    whole = sum(SHARES[kind] for kind in kinds)
    all_of_them = {}
    for number, kind in enumerate(kinds):
        place = folder / kind
        place.mkdir(parents=True)
        count = max(1, round(kills * SHARES[kind] / whole))
        began = time.monotonic()
        counts = KINDS[kind](place, count, random.Random(number))
        print(json.dumps({"kind": kind, **counts, "seconds": round(time.monotonic() - began)}),
              flush=True)  # fmt: skip
        all_of_them[kind] = counts
        shutil.rmtree(place)
    total = {name: sum(one[name] for one in all_of_them.values()) for name in ZERO}
    print(json.dumps({"kind": "all", **total}))
    return all_of_them


if __name__ == "__main__":
    named = sys.argv[3:] or list(KINDS)
    found = main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 100, named)
    bad = [name for name in ZERO if name not in ("kills", "hit")]
    sys.exit(any(one[name] for one in found.values() for name in bad))
