"""`fixbook proof`: every fault of every write-up at once."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.app.proofing import proof
from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse
from fixbook.render.clean import clean_line

EXAMPLES = """\
examples:
  fixbook proof
  fixbook proof entries/power-amplifier
"""


def run(words: Sequence[str], session: Session) -> int:
    """Proof; 0 where nothing was found, 1 where something was."""
    parser = new_parser("proof", "Check write-ups for faults.", EXAMPLES)
    parser.add_argument("paths", nargs="*", metavar="PATH", help="files or folders; none: the book")
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book
    found = proof(session.library, given.paths)
    if given.json:
        session.write_json(found.to_json())
    else:
        lines = [[("plain", clean_line(str(problem)))] for problem in found.problems]
        files = f"{found.files} file{'s' if found.files != 1 else ''} read"
        faults = len(found.problems)
        some = f"{faults} fault{'s' if faults != 1 else ''}" if faults else "no faults"
        session.write([*lines, [("quiet", f"{files}, {some}")]])
    return 1 if found.problems else 0
