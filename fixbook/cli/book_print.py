"""`fixbook book print`: a whole book as pages of HTML that need no server and no network."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse
from fixbook.render.clean import clean_line

EXAMPLES = """\
examples:
  fixbook book print ~/bench-pages
  fixbook book print ~/bench-pages --open
"""


def run(words: Sequence[str], session: Session) -> int:
    """Print the open book into a folder; pages in which nothing changed are left alone."""
    from fixbook.app.printing_book import INDEX, print_book

    parser = new_parser(
        "book print", "Write the book as pages, with contents and search.", EXAMPLES
    )
    parser.add_argument("folder", metavar="DIR", help="a new folder, or one printed into before")
    parser.add_argument("--open", action="store_true", help="open the contents in a browser")
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book
    folder = Path(given.folder).expanduser()
    done = print_book(session.library, session.bench, folder, session.progress)
    index = folder.absolute() / INDEX
    if given.json:
        session.write_json({"index": str(index), **done._asdict()})
    else:
        more = f", {done.removed} taken away" if done.removed else ""
        said = f"{done.pages} write-ups: {done.written} files written, {done.kept} unchanged{more}"
        session.write([[("plain", said)], [("plain", clean_line(f"open {index}"))]])
    if given.open:
        from fixbook.cli.printing import open_page

        open_page(session, index)
    return 0
