"""Several processes at one book, finding, writing and recording, and whether the counts add up.

    python tests/hard/many.py FOLDER [SECONDS] [PROCESSES]

Half of the processes search, a quarter files and renames write-ups, a quarter records jobs, and one
history is brought in meanwhile. At the end every write-up and job that was accepted must be there
and found. Prints the counts as JSON; `lost`, `unfound`, `failed` and `late` (answers that took over
2 s) have to be zero.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common

from fixbook.app.indexing import BookIndex
from fixbook.app.writing import Desk
from fixbook.core.query import Request

LATE_S = 2.0


def searching(book: Path, number: int, say: common.Say, until: float) -> None:
    """Search, as a command each time."""
    turn = 0
    while time.monotonic() < until:
        turn += 1
        began = time.monotonic()
        index = BookIndex(common.library(book))
        index.refresh()
        found = index.search(Request(common.word(turn % 60)))
        index.close()
        spent = time.monotonic() - began
        fine = [hit.shown["id"] for hit in found.hits][:1] == [f"amp-{turn % 60:05d}"]
        say(f"found {spent:.3f} {int(fine)}")


def filing(book: Path, number: int, say: common.Say, until: float) -> None:
    """Draft and file write-ups."""
    turn = 0
    while time.monotonic() < until:
        turn += 1
        id = f"amp-{number}-{turn}"
        desk = Desk(common.library(book))
        title = f"Filed {common.word(number * 1500 + turn)}"
        desk.drafts.keep_text(id, common.ENTRY.format(id=id, title=title, words="Measure it."))
        if desk.settle(id).filed:
            say(f"filed {id} {number * 1500 + turn}")


def recording(book: Path, number: int, say: common.Say, until: float) -> None:
    """Record jobs."""
    from fixbook_plugins.job_history.database import open_file
    from fixbook_plugins.job_history.job import Job
    from fixbook_plugins.job_history.store import Store

    while time.monotonic() < until:
        began = time.monotonic()
        with Store(open_file(book / "jobs.sqlite")) as store:
            job = store.add_next(lambda one: Job(one, complaint=f"hums {number}"))
        say(f"job {job.number} {time.monotonic() - began:.3f}")


def bringing(book: Path, number: int, say: common.Say, until: float) -> None:
    """Bring a history in, again and again: it adds nothing twice."""
    while time.monotonic() < until:
        ran = common.command(book, "job", "import", f"{book}.csv")
        say(f"import {ran.status}")


def start(work: object, book: Path, number: int, until: float) -> tuple[int, int]:
    """Begin a process; its id, and where its words can be read."""
    hear, say = os.pipe()
    child = os.fork()
    if child:
        os.close(say)
        return child, hear
    os.close(hear)
    status = 1
    try:
        work(book, number, lambda text: os.write(say, f"{text}\n".encode()), until)  # type: ignore[operator]
        status = 0
    except BaseException as error:  # noqa: BLE001  # it is counted
        os.write(say, f"failed {error!r}\n".encode())
    finally:
        os._exit(status)


def main(folder: Path, seconds: float, count: int) -> dict[str, float]:
    """Let so many processes work for so long; the counts."""
    from fixbook_plugins.job_history.database import open_file
    from fixbook_plugins.job_history.store import Store

    folder.mkdir(parents=True, exist_ok=True)
    book = common.new_book(folder / "book", 60)
    rows = "".join(f"H{n},{n % 28 + 1}/3/2024,amp,hums\n" for n in range(400))
    Path(f"{book}.csv").write_text("Job,Date in,Type,Complaint\n" + rows, encoding="utf-8")
    BookIndex(common.library(book)).refresh()
    open_file(book / "jobs.sqlite").close()
    common.command(book, "job", "import", f"{book}.csv")
    common.library(book).registry.manager  # noqa: B018  # loads the plugins before any fork
    kinds = [searching, filing, recording, searching, bringing, searching, filing, searching]
    until = time.monotonic() + seconds
    running = [start(kinds[n % len(kinds)], book, n + 1, until) for n in range(count)]
    said: list[list[str]] = []
    for child, hear in running:
        with os.fdopen(hear) as lines:
            said += [line.split() for line in lines]
        os.waitpid(child, 0)
    signal.alarm(0)
    filed = {one[1]: int(one[2]) for one in said if one[0] == "filed"}
    jobs = [one[1] for one in said if one[0] == "job"]
    times = [float(one[1]) for one in said if one[0] == "found"]
    index = BookIndex(common.library(book))
    index.refresh()
    unfound = sum(
        id not in [hit.shown["id"] for hit in index.search(Request(common.word(key))).hits]
        for id, key in filed.items()
    )
    with Store(open_file(book / "jobs.sqlite")) as store:
        numbers = set(store.all_numbers_with_stamps())
    there = {path.stem for path in (book / "entries" / "test-amp").glob("*.md")}
    return {
        "seconds": seconds, "processes": count, "searches": len(times), "filed": len(filed),
        "jobs": len(jobs), "imports": sum(one[0] == "import" for one in said),
        "lost": len(set(filed) - there) + len(set(jobs) - numbers) + (len(set(jobs)) < len(jobs))
        + (len(numbers) != len(jobs) + 400),
        "unfound": unfound + sum(one[2] != "1" for one in said if one[0] == "found"),
        "failed": sum(one[0] == "failed" or one[:2] == ["import", "2"] for one in said),
        "late": sum(spent > LATE_S for spent in times), "slowest_s": max(times, default=0.0),
    }  # fmt: skip


if __name__ == "__main__":
    given = sys.argv[2:]
    found = main(Path(sys.argv[1]), float(given[0]) if given else 20,
                 int(given[1]) if len(given) > 1 else 8)  # fmt: skip
    print(json.dumps(found))
    sys.exit(any(found[bad] for bad in ("lost", "unfound", "failed", "late")))
