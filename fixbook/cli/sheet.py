"""`fixbook sheet`: a write-up laid out for use."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, add_printing, is_printed, new_parser, parse

if TYPE_CHECKING:
    import argparse

    from fixbook.app.library import Filed

EXAMPLES = """\
examples:
  fixbook sheet amp-relay-contacts
  fixbook sheet amp-relay-contacts --check "contact resistance=40 mohm"
  fixbook sheet amp-relay-contacts --html relay.html --open
  fixbook sheet amp-relay-contacts --pdf relay.pdf --paper letter
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
    add_printing(parser)
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book

    library = session.library
    if is_printed(given):
        return _print(session, given)
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


def _print(session: Session, given: argparse.Namespace) -> int:
    from fixbook.app.printing import print_sheet
    from fixbook.cli.printing import deliver

    filed, checks = _filed(session, given.id), tuple(given.check)
    library, bench = session.library, session.bench
    return deliver(
        session, given, lambda paper: print_sheet(library, filed, bench, checks, paper=paper)
    )


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
