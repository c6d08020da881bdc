"""`fixbook book`: make a book, say which one is open, refresh, trust; the rest stands elsewhere."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError, add_book, new_parser, parse
from fixbook.core.problems import did_you_mean
from fixbook.render.clean import clean_line

if TYPE_CHECKING:
    from fixbook.store.trust import PluginFile

OWN = ("new", "where", "refresh", "trust")
ELSEWHERE = {
    "demo": ("demo", "demo"),
    "upgrade": ("upgrade", "upgrade"),
    "backup": ("backup", "backup"),
    "restore": ("backup", "restore"),
    "print": ("book_print", "run"),
}
"""What is done by another module of `fixbook.cli`: its name, and the function's."""
EXAMPLES = """\
examples:
  fixbook book new ~/bench-book
  fixbook book demo shop
  fixbook book where
  fixbook book refresh
  fixbook book trust
  fixbook book upgrade
  fixbook book backup ~/backups/bench.zip
  fixbook book restore ~/backups/bench.zip ~/bench-book
  fixbook book print ~/bench-pages
"""


def run(words: Sequence[str], session: Session) -> int:
    """Do one of new, where, refresh, trust, or what stands elsewhere."""
    if words and words[0] in ELSEWHERE:
        module, name = ELSEWHERE[words[0]]
        work: Callable[[Sequence[str], Session], int] = getattr(
            import_module(f"fixbook.cli.{module}"), name
        )
        return work(words[1:], session)
    parser = new_parser("book", "Make a book, say which one is open, trust its plugins.", EXAMPLES)
    parser.add_argument("action", metavar="|".join((*OWN, *ELSEWHERE)))
    parser.add_argument("folder", nargs="?", metavar="DIR", help="for new: the folder to make")
    parser.add_argument("--yes", action="store_true", help="for trust: do not ask")
    parser.add_argument("--none", action="store_true", help="for trust: trust nothing any more")
    add_book(parser)
    given = parse(parser, words)
    session.book = given.book or session.book
    actions = dict(zip(OWN, (_new, _where, _refresh, _trust), strict=True))
    if given.action not in actions:
        known = [*actions, *ELSEWHERE]
        hint = did_you_mean(given.action, known, otherwise=f"one of {', '.join(known)}")
        raise UsageError(
            f"book cannot {given.action!r}; {hint}",
            input="action",
            read=given.action,
            choices=known,
        )
    return actions[given.action](given, session)


def _new(given: argparse.Namespace, session: Session) -> int:
    from fixbook.app.books import new_book

    if not given.folder:
        raise UsageError("book new needs a folder", input="DIR", hint="fixbook book new DIR")
    folder = Path(given.folder).expanduser()
    made = new_book(folder)
    if given.json:
        session.write_json({"book": str(folder.absolute()), "made": [str(one) for one in made]})
        return 0
    session.write(
        [
            [("plain", clean_line(f"made the book {folder}"))],
            [("plain", clean_line(f"write-ups go into {folder / 'entries'}/UNIT/ID.md"))],
            [("plain", "it is used from inside the folder, with --book, or with FIXBOOK_BOOK")],
        ]
    )
    return 0


def _where(given: argparse.Namespace, session: Session) -> int:
    from fixbook.app.trusted import untrusted_files

    library = session.library
    off = [file.path.name for file in untrusted_files(library.own, library.folders.config)]
    shelves = {shelf.name: str(shelf.root) for shelf in library.shelves}
    counts = {name: len(listing.entries) for name, listing in library.listings.items()}
    if given.json:
        session.write_json(
            {
                "book": str(library.own) if library.own else None,
                "said_by": library.place.said_by,
                "folders": shelves,
                "files": counts,
                "cache": str(library.cache),
                "plugins_off": off,
            }
        )
        return 0
    book = str(library.own) if library.own else "none of your own; the starter book alone"
    rows = [f"book: {book}", f"found by: {library.place.said_by}"]
    rows += [f"{name}: {root}, {counts[name]} write-ups" for name, root in shelves.items()]
    rows += [f"index: {library.cache}"]
    if off:
        rows.append(f"plugins of the book that are off: {', '.join(off)} ('fixbook book trust')")
    session.write([[("plain", clean_line(row))] for row in rows])
    return 0


def _refresh(given: argparse.Namespace, session: Session) -> int:
    from fixbook.app.indexing import BookIndex

    index = BookIndex(session.library, progress=session.progress)
    done = index.refresh(look=True)
    faulty, lost = index.faults()
    if given.json:
        session.write_json(
            {
                "read": done.read,
                "removed": done.removed,
                "rebuilt": done.rebuilt,
                "busy": done.busy,
                "faulty": faulty,
                "unusable": lost,
            }
        )
        return 0
    how = "made anew" if done.rebuilt else "brought up to date"
    text = f"the index was {how}: {done.read} read, {done.removed} removed"
    if done.busy:
        text = "another fixbook is updating the index; it is left to that one"
    session.write([[("plain", text)]])
    if faulty:
        session.write([[("doubt", f"{faulty} write-ups have faults: 'fixbook proof' says which")]])
    return 0


def _trust(given: argparse.Namespace, session: Session) -> int:
    from fixbook.app.trusted import untrusted_files
    from fixbook.store.trust import plugin_sources, trust

    library = session.library
    config = library.folders.config
    if library.own is None:
        raise UsageError(
            "there is no book of your own whose plugins could be trusted",
            input="--book",
            hint="name the book: fixbook book trust --book DIR",
        )
    files = [] if given.none else plugin_sources(library.own)
    new = {file.name for file in untrusted_files(library.own, config)}
    if files and new and not given.yes:
        session.write(
            [
                [("bad", "A plugin is a program: it can do all that you can. Read it first.")],
                *[[("plain", _shown(one, new=one.name in new))] for one in files],
            ]
        )
        if not session.confirm("Trust these files as they are now?"):
            session.write([[("plain", "nothing was trusted")]])
            return 1
    trust(config, library.own, files)
    names = [file.path.name for file in files]
    if given.json:
        session.write_json({"trusted": names})
    else:
        session.write([[("plain", clean_line(f"trusted: {', '.join(names) or 'nothing'}"))]])
    return 0


def _shown(file: PluginFile, *, new: bool) -> str:
    return clean_line(f"{'new or changed' if new else 'trusted'}: {file.path}")
