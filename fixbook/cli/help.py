"""`fixbook --help`, and what bare `fixbook` says where there is no terminal."""

from __future__ import annotations

import sys

from fixbook.render.lines import DOUBT, Line, paragraphs

USAGE = """\
fixbook: a knowledge base for the repair bench, offline, from plain files.

usage: fixbook [--book DIR] COMMAND ...
       fixbook                        on a terminal: the bench screen (F1 there says its keys)

examples:
  fixbook find hums with the volume at zero
  fixbook sheet hum-dried-reservoir
  fixbook calc esr-limit capacitance=470u rated_voltage=25 measured=0.35
  fixbook narrow --unit power-amplifier one side drops out
  fixbook book demo shop              an invented shop's book, to try things on

commands:
"""
CLOSING = """\
'fixbook COMMAND --help' says more, with examples. --json prints any answer as JSON.
Exit status: 0 done; 1 the answer is no; 2 the command or its input was wrong."""


def show_help(book: str | None) -> int:
    """Print the commands, the plugins' included."""
    from fixbook.app.trusted import off_note
    from fixbook.cli.main import COMMANDS, COMMON
    from fixbook.cli.session import Session
    from fixbook.errors import FixbookError

    session = Session(book=book)
    rows, off = dict(COMMANDS), ""
    try:
        library = session.library
        found = library.registry.commands(rows)
        rows |= {name: one.summary for name, (_, one) in found.items()}
        off = off_note(library)
    except FixbookError as error:
        print(f"fixbook: {error.why}", file=sys.stderr)
    options = {f"{name} DIR" if name == "--book" else name: about for name, about in COMMON.items()}
    wide = max(len(name) for name in (*rows, *options)) + 2
    texts = [f"  {name:<{wide}}{about}" for name, about in rows.items()]
    texts += ["", "options:", *(f"  {name:<{wide}}{about}" for name, about in options.items()), ""]
    lines: list[Line] = [[("plain", text)] for text in (USAGE + "\n".join(texts)).split("\n")]
    lines += [[("plain", text)] for text in CLOSING.split("\n")]
    session.write(lines + (paragraphs(off, session.width, style=DOUBT) if off else []))
    return 0
