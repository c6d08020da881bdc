"""Every command's output, with hostile text in every place, judged by a terminal emulator.

    python tests/hard/terminal.py FOLDER [COUNT]

The strings are those of tests/render/test_terminal.py: control sequences, and part of a public list.
Each is the title, words, values and notes of write-ups and jobs, the name of a file, and the
arguments of each command. `leaked` counts outputs that set a title, move the cursor, switch a mode,
ring or colour; it has to be zero, as `speechless` has.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pyte

sys.path.insert(0, str(Path(__file__).parent))
import common

BAD = [chr(n) for n in (*range(9), *range(11, 32), *range(127, 160), 0x202E, 0x2066, 0x2028)]


def commands(text: str) -> list[tuple[str, ...]]:
    """Give every command, with a text wherever one can be typed."""
    return [
        ("find", text), ("find", "hums", f"--unit={text}"), ("find", "hums"), ("sheet", "amp-one"),
        ("sheet", text), ("calc", text), ("calc", "esr-limit", text), ("calc", "ohms-law", text),
        ("kit", "amp-one"), ("kit", text), ("narrow", f"--unit={text}", text), ("proof",),
        ("proof", text), ("write", text, "--no-editor"), ("write", "--rename", "amp-one", text),
        ("write", f"--title={text}", "--no-editor", "amp-new"), ("write", "--drafts"),
        ("job", "new", f"--complaint={text}", f"--unit={text}", f"--shelf={text}"),
        ("job", "list"), ("job", "show", "1"), ("job", "show", text), ("job", "note", "1", text),
        ("job", "ticket", "1"), ("job", "import", text), ("job", "export", text), ("job", text),
        ("job", "link", "1", text), ("job", "rates", text), ("book", "where"), ("book", text),
        ("book", "new", text), ("book", "backup", text), ("book", "restore", text, text),
        ("book", "trust"), (text,), ("--book", text, "find", "hum"), ("find", f"--{text}"),
    ]  # fmt: skip


def fill(book: Path, text: str) -> None:
    """Put a text into every place of a book that holds text."""
    quoted = json.dumps(text)
    front = (
        f"id: amp-one\nkind: fault\ntitle: {quoted}\nunit: test-amp\nsection: {quoted}\n"
        f"signs: {{low-drone: always}}\nhazards: [mains]\ntools: [{quoted}]\n"
        f"parts: [{{at: {quoted}, is: {quoted}, value: {quoted}, count: 1}}]\n"
        f"targets: [{{name: {quoted}, at: {quoted}, reads: ohms, window: 0 .. 1 ohm}}]\n"
        f"opening: [{{do: {quoted}, fasteners: {quoted}}}]\nsources: [{quoted}]\nstate: written\n"
    )
    path = book / "entries" / "test-amp" / "amp-one.md"
    path.parent.mkdir(parents=True, exist_ok=True)
    body = f"\n## Step by step\n\n1. {text}\n\n[{text}](job:{text})\n"
    data = f"---\n{front}---\n{body}".encode("utf-8", "surrogatepass")
    path.write_bytes(data)
    (book / "plugins").mkdir(exist_ok=True)
    name = text.replace("/", "_").replace("\0", "_")[:60]
    for place in (book / "plugins" / f"{name}.py", path.with_name(f"{name}.md")):
        try:
            place.write_bytes(data)
        except (OSError, ValueError):
            continue  # no system lets a file have this name


def leaks(out: str) -> bool:
    """Say whether an output does anything but print."""
    if any(letter in out for letter in BAD):
        return True
    lines = out.split("\n")
    screen = pyte.Screen(4000, len(lines) + 2)
    plain = pyte.Screen(2, 2)
    pyte.Stream(screen).feed("\r\n".join([*lines, "END"]))
    row = "".join(cell.data for cell in screen.buffer[len(lines)].values()).rstrip()
    calm = (screen.title, screen.icon_name, screen.mode, row) == ("", "", plain.mode, "END")
    return not calm or screen.cursor.y != len(lines)


def main(folder: Path, count: int) -> dict[str, int]:
    """Run every command with so many strings; the counts."""
    strings = list(common.module("render/test_terminal.py").HOSTILE.values())
    counts = {"strings": 0, "outputs": 0, "leaked": 0, "speechless": 0}
    for number, text in zip(common.turns(len(strings)), strings[:count], strict=False):
        book = common.new_book(folder / f"book{number % 2}", 2)
        (book / "jobs.sqlite").unlink(missing_ok=True)
        fill(book, text)
        counts["strings"] += 1
        for words in commands(text):
            if any("\0" in word for word in words):
                continue  # no system lets a word hold one
            ran = common.command(book, *words)
            counts["outputs"] += 1
            bad = {"leaked": leaks(ran.out + ran.err), "speechless": not ran.in_words}
            for name, is_bad in bad.items():
                counts[name] += is_bad
                if is_bad:
                    print(name, ascii(ran)[:600], file=sys.stderr)
    return counts


if __name__ == "__main__":
    found = main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000)
    print(json.dumps(found))
    sys.exit(bool(found["leaked"] or found["speechless"]))
