"""`fixbook book upgrade`: bring a book's folder to the form of this version."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError, add_book, new_parser, parse
from fixbook.render.clean import clean_line

EXAMPLES = """\
examples:
  fixbook book upgrade
  fixbook book upgrade --book ~/bench-book
"""


def upgrade(words: Sequence[str], session: Session) -> int:
    """Bring the open book to the form of now; what somebody wrote stays as it is."""
    from fixbook.app.upgrading import upgrade as upgrade_book

    summary = "Bring a book's folder to the form of this version; write-ups are not touched."
    parser = new_parser("book upgrade", summary, EXAMPLES)
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book
    own = session.library.own
    if own is None:
        raise UsageError(
            "there is no book of your own to upgrade",
            input="--book",
            hint="name the book: fixbook book upgrade --book DIR",
        )
    before, now = upgrade_book(own)
    if given.json:
        session.write_json({"book": str(own), "before": before, "format": now})
    else:
        told = f"{own} has format {now}" + (f", before it was {before}" if before != now else "")
        session.write([[("plain", clean_line(told))]])
    return 0
