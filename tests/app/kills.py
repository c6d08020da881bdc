"""Kill a writer without warning, again and again, and count what was lost.

    python tests/app/kills.py FOLDER 200

Each round a new process drafts, files and renames write-ups, and says after each step what it has
accepted; it is killed at a random moment. What was accepted must be there, no file may be half
written, and doing the same again must finish what was broken off. Prints the counts as JSON.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
from pathlib import Path

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.app.renaming import rename
from fixbook.app.writing import Desk
from fixbook.settings import Place

END = "The end of the file."
ENTRY = """\
---
id: {id}
kind: fault
title: Fault {id}
unit: test-amp
signs: {{low-drone: always}}
hazards: [mains]
state: written
---

## Step by step

1. Unplug it.

{filler}
{end}
"""
WORDS = """\
units: {test-amp: {name: test amplifier}}
signs:
  low-drone: {ask: Does it drone on?, background: {seen: 0.1}}
hazards: {mains: {short: Mains can kill.}}
"""
PER_ROUND = 400
"""More write-ups than a round gets to before it is killed."""


def main(folder: Path, rounds: int) -> dict[str, int]:
    """Run so many rounds in a folder; give the counts."""
    chance = random.Random(7)
    counts = {"kills": 0, "accepted": 0, "lost": 0, "half": 0, "unfinished": 0}
    words = folder / "entries" / "vocabulary"
    words.mkdir(parents=True)
    (words / "words.yaml").write_text(WORDS)
    (folder / "fixbook.toml").write_text("starter = false\n")
    desk = new_desk(folder)
    desk.library.registry.manager  # noqa: B018  # load the plugins once, before any process parts
    for number in range(rounds):
        accepted = killed(desk, number, chance.random() * 0.25)
        counts["kills"] += 1
        counts["accepted"] += len(accepted)
        check(folder, number, accepted, counts)
    return counts


def new_desk(folder: Path) -> Desk:
    """Open the book anew, as another command does."""
    caches = folder.with_name(folder.name + "-cache")
    return Desk(Library(Place(folder, "test"), Folders(caches, caches, caches)))


def killed(desk: Desk, number: int, after_s: float) -> list[tuple[str, int]]:
    """Work in a process of its own, kill it, and give what it said that it had accepted."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        work(desk, number, writing)
        os._exit(0)
    os.close(writing)
    said = os.read(reading, 6)  # it has begun
    select.select([], [], [], after_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while data := os.read(reading, 65536):
        said += data
    os.close(reading)
    lines = said.decode().split("\n")[1:-1]
    return [(line.split()[0], int(line.split()[1])) for line in lines]


def work(desk: Desk, number: int, writing: int) -> None:
    """Draft, file and rename, saying each step once it is done."""
    os.write(writing, b"begin\n")
    for step in range(PER_ROUND):
        old, new = f"amp-old-{number}-{step}", f"amp-new-{number}-{step}"
        desk.drafts.keep_text(old, text_of(old))
        os.write(writing, f"drafted {step}\n".encode())
        desk.library.look_again()
        assert desk.settle(old).filed
        os.write(writing, f"filed {step}\n".encode())
        desk.library.look_again()
        rename(desk, old, new)
        os.write(writing, f"renamed {step}\n".encode())


def text_of(id: str) -> str:
    """Give the text of a write-up, of a few blocks of the disk."""
    return ENTRY.format(id=id, filler="Words and words. " * 700, end=END)


def check(
    folder: Path, number: int, accepted: list[tuple[str, int]], counts: dict[str, int]
) -> None:
    """Count what is lost, half written, or cannot be finished by doing it again."""
    entries = folder / "entries" / "test-amp"
    files = [*entries.glob("*.md"), *(folder / "drafts").glob("*.md")]
    counts["half"] += sum(not path.read_text().endswith(f"{END}\n") for path in files)
    desk = new_desk(folder)
    for what, step in accepted:
        old, new = f"amp-old-{number}-{step}", f"amp-new-{number}-{step}"
        drafted, filed, renamed = (
            (folder / "drafts" / f"{old}.md").exists(),
            (entries / f"{old}.md").exists(),
            (entries / f"{new}.md").exists(),
        )
        there = {"drafted": drafted or filed or renamed, "filed": filed or renamed,
                 "renamed": renamed}  # fmt: skip
        counts["lost"] += not there[what]
    steps = {step for _, step in accepted}
    for step in [max(steps)] if steps else []:
        counts["unfinished"] += not finish(
            desk, f"amp-old-{number}-{step}", f"amp-new-{number}-{step}"
        )
    for path in entries.glob("*.md"):  # the next round begins with few files
        path.unlink()


def finish(desk: Desk, old: str, new: str) -> bool:
    """Do the broken-off steps again; say whether all is as it should be."""
    if old in desk.drafts.names() and not desk.settle(old).filed:
        return False
    desk.library.look_again()
    rename(desk, old, new)
    desk.library.look_again()
    found = desk.library.find(old)
    names = {path.stem for path in (desk.shelf.root / "test-amp").glob("*.md")}
    return found is not None and found.entry.id == new and new in names and old not in names


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]))))
