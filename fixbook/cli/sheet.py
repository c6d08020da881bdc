"""`fixbook sheet`: a write-up laid out for use."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse

EXAMPLES = """\
examples:
  fixbook sheet amp-relay-contacts
  fixbook sheet amp-relay-contacts --check "contact resistance=40 mohm"
"""


def run(words: Sequence[str], session: Session) -> int:
    """Show one sheet; status 2, with close matches, for an unknown id."""
    parser = new_parser("sheet", "Show a write-up: cautions, targets, parts, steps.", EXAMPLES)
    parser.add_argument("id", metavar="ID", help="as 'fixbook find' shows it")
    parser.add_argument(
        "--check",
        action="append",
        default=[],
        metavar="NAME=READING",
        help="hold a reading against a target of the sheet",
    )
    parser.add_argument(
        "--cautions", action="store_true", help="show the full caution texts, seen before or not"
    )
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book

    from fixbook.app.bench import unknown_entry
    from fixbook.app.sheets import lay_out

    library = session.library
    filed = library.find(given.id)
    if filed is None:
        raise unknown_entry(library, given.id)
    blocks = lay_out(library, filed, session.bench, given.check)
    if given.json:
        from fixbook.app.sheets import entry_to_json

        session.write_json(entry_to_json(filed, blocks))
        return 0
    from fixbook.render.sheet import sheet_lines, title_lines

    entry = filed.entry
    under = (entry.id, entry.unit, entry.section, f"revised {entry.revised}" * bool(entry.revised))
    width = session.width
    full = None if given.cautions else session.full_cautions(entry.hazards)
    session.write([*title_lines(entry.title, under, width), *sheet_lines(blocks, width, full=full)])
    return 0
