"""`fixbook --help`, and what bare `fixbook` says."""

from __future__ import annotations

import sys

USAGE = """\
fixbook: a knowledge base for the repair bench, offline, from plain files.

usage: fixbook [--book DIR] COMMAND ...

  fixbook find hums with the volume at zero
  fixbook sheet hum-dried-reservoir
  fixbook calc esr-limit capacitance=470u rated_voltage=25 measured=0.35

commands:
"""


def show_help(book: str | None) -> int:
    """Print the commands, the plugins' included."""
    from fixbook.cli.main import COMMANDS
    from fixbook.cli.session import Session
    from fixbook.errors import FixbookError

    rows = dict(COMMANDS)
    try:
        found = Session(book=book).library.registry.commands(rows)
        rows |= {name: one.summary for name, (_, one) in found.items()}
    except FixbookError as error:
        print(f"fixbook: {error.why}", file=sys.stderr)
    print(USAGE + "\n".join(f"  {name:<8}{summary}" for name, summary in rows.items()))
    print("\n'fixbook COMMAND --help' says more. --json prints any answer as JSON.")
    return 0
