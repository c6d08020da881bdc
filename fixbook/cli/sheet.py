"""`fixbook sheet`: a write-up laid out for use."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse

if TYPE_CHECKING:
    from fixbook.app.library import Filed

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

    library = session.library
    if given.json:
        return _print_json(session, given.id, given.check)
    from fixbook.app.laid import laid_sheet, lay
    from fixbook.render.sheet import sheet_lines, title_lines

    if given.check:
        laid = lay(library, _filed(session, given.id), session.bench, tuple(given.check))
    else:
        laid = laid_sheet(library, given.id, session.bench) or lay(
            library, _filed(session, given.id), session.bench
        )
    width = session.width
    full = None if given.cautions else session.full_cautions(laid.hazards)
    lines = title_lines(laid.title, laid.under, width)
    session.write([*lines, *sheet_lines(laid.blocks, width, full=full)])
    return 0


def _print_json(session: Session, id: str, checks: Sequence[str]) -> int:
    from fixbook.app.sheets import entry_to_json, lay_out

    filed = _filed(session, id)
    blocks = lay_out(session.library, filed, session.bench, checks)
    session.write_json(entry_to_json(filed, blocks))
    return 0


def _filed(session: Session, id: str) -> Filed:
    filed = session.library.find(id)
    if filed is None:
        from fixbook.app.bench import unknown_entry

        raise unknown_entry(session.library, id)
    return filed
