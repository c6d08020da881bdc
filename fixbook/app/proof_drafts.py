"""Proofing what is not filed yet: drafts are no entries, so no folder or file name is theirs yet."""

from __future__ import annotations

import os
from pathlib import Path

from fixbook.app.library import Library
from fixbook.app.writing import Desk
from fixbook.core.problems import Problem
from fixbook.settings import FILE, Place
from fixbook.store.folder import DRAFTS, ENTRIES


def draft_problems(library: Library, path: str) -> tuple[int, list[Problem]] | None:
    """Proof the drafts of a book, or one of them, as writing would; None where the path is no draft.

    Also gives how many there are.
    """
    given = Path(path)
    named = given.absolute()
    folder = named if named.is_dir() else named.parent
    book = folder.parent
    if folder.name != DRAFTS or not ((book / ENTRIES).is_dir() or (book / FILE).is_file()):
        return None
    own = library.own is not None and os.path.realpath(library.own) == os.path.realpath(book)
    desk = Desk(library if own else Library(Place(book, "PATH"), library.folders))
    problems: list[Problem] = []
    files = 0
    for key in sorted(desk.drafts.names()):
        text = desk.drafts.text(key)
        if text is None or (named != folder and named.name != f"{key}.md"):
            continue
        files += 1
        shown = given / f"{key}.md" if named == folder else given
        problems += desk.proofed(key, text, shown.as_posix())[1]
    return files, problems
