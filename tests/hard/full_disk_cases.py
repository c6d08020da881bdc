"""The commands that `full_disk.py` runs, and the book that they run on."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import common

from fixbook.app.cautioned import first_shown
from fixbook.screen.drafts import Drafts

Words = tuple[str, ...]
SIZE = 12
FIELDS = {
    "unit": "test-amp", "title": "Filed", "seen": "hums", "signs": ["low-drone: always"],
    "done": ["Unplug it.", "Measure it."], "hazards": "mains",
}  # fmt: skip
LINKED = """\
---
kind: fault
id: amp-linked
title: Hums by the coupling
unit: test-amp
section: output
signs: {low-drone: always}
hazards: [mains]
tools: [multimeter]
targets:
  - name: output offset
    at: across the output
    reads: dc
    window: -0.05 .. 0.05V
parts:
  - {at: C1, is: aluminium electrolytic, value: 470uF, count: 1}
see: [amp-00003]
state: written
---

## Step by step

1. Unplug it, and see [the other](fault:amp-00003), job:1.

![a plan](pictures/plan.svg)
"""


class Case(NamedTuple):
    """A command, or a piece of the screen's work that saves something."""

    words: Words
    work: Callable[[Path], str] | None = None
    """What the screen does, in the folder of a run; it gives what the user is told."""
    before: tuple[Words, ...] = ()
    """What was done on a disk with room."""
    reads: bool = False
    """Whether it writes nothing into the book, and so has to answer however full that disk is."""


def save_drafts(run: Path) -> str:
    """Save what is typed in a panel, and what was searched, as the bench screen does."""
    drafts = Drafts(run / "home/data/fixbook", "a book")
    drafts.open()
    said = drafts.save({"job": "typed " * 2000})
    drafts.save_recent(("hums", "drones " * 900))
    drafts.close()
    return said


def note_cautions(run: Path) -> str:
    """Note which cautions were shown, as a sheet on a terminal does."""
    first_shown(run / "cache/fixbook", "1", ["mains"], 1e9)
    return ""


def job(*words: str) -> Case:
    """Give a case of `fixbook job`."""
    return Case(("job", *words))


def reading(*words: str) -> Case:
    """Give a case that writes nothing into the book."""
    return Case(words, reads=True)


CASES = (
    reading("find", "hums"), reading("sheet", "amp-linked"), reading("narrow", "test-amp", "hums"),
    reading("kit", "amp-linked"), reading("proof"), reading("calc"), reading("book", "where"),
    Case(("sheet", "amp-linked", "--html", "sheet.html")),
    Case(("calc", "divider", "12V", "10k", "4k7", "--html", "sum.html")),
    Case(("narrow", "test-amp", "hums", "--html", "narrow.html")),
    Case(("narrow", "--job", "1", "--sign", "low-drone=seen")),
    Case(("kit", "amp-linked", "--html", "kit.html")),
    Case(("write", "amp-filed", "--from", "draft.json", "--no-editor")),
    Case(("write", "--like", "amp-linked", "amp-like", "--title", "Like it", "--no-editor")),
    Case(("write", "amp-of-job", "--from-job", "1", "--from", "draft.json", "--no-editor")),
    Case(("write", "--rename", "amp-00003", "amp-renamed")),
    Case(("write", "--withdraw", "amp-00003", "--by", "amp-00004")),
    Case(("write", "amp-begun", "--discard")),
    Case(("proof", "--fix", "--yes")),
    Case(("book", "new", "other")), Case(("book", "demo", "shop")), reading("book", "refresh"),
    Case(("book", "trust", "--yes")),
    Case(("book", "trust", "--none"), before=(("book", "trust", "--yes"),)),
    Case(("book", "upgrade")), Case(("book", "print", "pages")),
    Case(("book", "backup", "new.zip")), Case(("book", "backup", "old.zip", "--replace")),
    Case(("book", "restore", "old.zip", "again")), reading("book", "backup", "../home/new.zip"),
    job("new", "--unit", "test-amp", "--complaint", "hums on"),
    job("add", "--from", "jobs.json"), job("edit", "1", "condition=scratched"),
    job("note", "1", "words " * 2000 + "fault:amp-00003"),
    job("reading", "1", "output offset=20 mV", "--fault", "amp-linked"),
    job("stage", "1", "waiting-for-parts"), job("link", "1", "amp-00004"),
    job("unlink", "1", "amp-linked"),
    job("close", "1", "--outcome", "fixed", "--minutes", "45", "--fault", "amp-linked"),
    reading("job", "list"), reading("job", "show", "1"), reading("job", "suggest", "1"),
    reading("job", "suggest", "--all"), reading("job", "rates"), reading("job", "figures"),
    reading("job", "estimate", "amp-linked"), reading("job", "readings", "amp-linked"),
    job("ticket", "1", "--html", "ticket.html"), job("hand-over", "1", "--html", "out.html"),
    job("export", "jobs-out.csv"), job("export", "jobs-out.jsonl"),
    job("import", "jobs.csv", "--yes"), job("import", "jobs.csv", "--trial"),
    job("salvage", "saved.sqlite"),
    Case(("find", "hums"), before=(("write", "--withdraw", "amp-00007"),)),
    Case(("screen",), save_drafts), Case(("cautions",), note_cautions),
)  # fmt: skip
KEEPING = ("book", "refresh")
"""What is there to write the cache, and may say that it cannot."""
FIRST = (
    ("job", "new", "--unit", "test-amp", "--complaint", "hums low-drone"),
    ("job", "link", "1", "amp-linked"),
    ("job", "reading", "1", "output offset=10 mV", "--fault", "amp-linked"),
    ("find", "hums"), ("sheet", "amp-linked"), ("job", "figures"), ("book", "backup", "old.zip"),
)  # fmt: skip


def environment(run: Path) -> dict[str, str]:
    """Name the folders of a run to the commands."""
    homes = {"CACHE": "cache", "DATA": "home/data", "CONFIG": "home/config"}
    named = {f"XDG_{name}_HOME": str(run / folder) for name, folder in homes.items()}
    return {**named, "FIXBOOK_BOOK": str(run / "disk/book")}


def ran(run: Path, case: Case, *, output: bool = False) -> common.Ran:
    """Run a case; with `output`, what it prints goes to a full disk."""

    def before() -> None:
        os.environ.update(environment(run))
        (run / "temporary").mkdir(exist_ok=True)
        tempfile.tempdir = str(run / "temporary")  # a process that is forked leaves what it made
        if output:
            os.dup2(os.open("/dev/full", os.O_WRONLY), 1)
        if case.work is not None:
            said = case.work(run)
            print(said)
            raise SystemExit(2 if said else 0)

    return common.command(run / "disk/book", *case.words, before=before, cwd=run / "disk")


def make(run: Path) -> None:
    """Make a book with write-ups, a plugin, a picture, a draft and jobs, and files beside it."""
    shutil.rmtree(run, ignore_errors=True)
    for name in ("disk", "cache", "home/data", "home/config"):
        (run / name).mkdir(parents=True)
    disk = run / "disk"
    book = common.new_book(disk / "book", SIZE)
    for name, text in {
        "book/plugins/one.py": "x = 1\n",
        "book/entries/pictures/plan.svg": "<svg xmlns='http://www.w3.org/2000/svg'/>" + " " * 9000,
        "book/entries/test-amp/amp-linked.md": LINKED,
        "book/drafts/amp-begun.md": "---\nid: amp-begun\n---\n",
        "jobs.csv": "Job,Date in,Type,Complaint,Notes,Minutes\n" + "".join(
            f"H{n},{n % 28 + 1}/3/2024,{'amp' if n % 9 else 'test-amp'},hums,{'words ' * 30},"
            f"{'x' if n == 77 else n}\n" for n in range(120)),
        "jobs.json": json.dumps([{"unit": "test-amp", "complaint": f"hums {n}"} for n in range(9)]),
        "draft.json": json.dumps(FIELDS),
    }.items():  # fmt: skip
        (disk / name).parent.mkdir(exist_ok=True)
        (disk / name).write_text(text, encoding="utf-8")
    for words in FIRST:
        done = ran(run, Case(words))
        if done.status:
            raise RuntimeError(f"{done}")
    for path in book.rglob("*.md"):
        os.utime(path, (1e9, 1e9))  # none has changed within the grain of the clock
    ran(run, Case(("find", "hums")))
