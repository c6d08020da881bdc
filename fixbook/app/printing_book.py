"""A whole book as pages: one for each write-up, contents by unit and by sign, and a search."""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from fixbook.app.library import Filed, Library
from fixbook.app.printing import around, book_words, today
from fixbook.app.printing_contents import by_sign, by_unit
from fixbook.app.printing_words import words_file
from fixbook.core.bench import Bench
from fixbook.errors import BookError, what_to_do
from fixbook.render.page.environment import MARK, own_file, page
from fixbook.render.page.filling import Surroundings, sheet_page
from fixbook.store.writing import PARTIAL

MANIFEST = "pages.json"
"""Names the files that were made, so that those of withdrawn write-ups can be taken away."""
SHEETS = "sheets"
INDEX = "index.html"
_OURS = re.compile(rf"{SHEETS}/[a-z][a-z0-9-]*\.html")

Progress = Callable[[str, int, int], None]


class Printed(NamedTuple):
    """What printing a book did."""

    pages: int
    """Write-ups that have a page."""
    written: int
    kept: int
    """Files that were left alone, since nothing in them changed."""
    removed: int


def print_book(library: Library, bench: Bench, folder: Path, progress: Progress) -> Printed:
    """Write a book's pages into a folder; BookError where it cannot be used for that."""
    _check_folder(library, folder)
    old = _manifest(folder)
    written = kept = 0
    names: list[str] = []
    try:
        (folder / SHEETS).mkdir(parents=True, exist_ok=True)
        filed = sorted(library.filed(), key=lambda one: one.entry.id)
        library.read_before = {one.entry.id: one for one in filed}  # each is linked to by many
        for name, text in _files(library, bench, filed, progress, folder):
            names.append(name)
            done = _put(folder / name, text)
            written, kept = written + done, kept + (not done)
        removed = _remove(folder, old - set(names))
        _put(folder / MANIFEST, json.dumps(sorted(names), indent=0) + "\n")
    except OSError as error:
        why = f"{error.filename or folder} cannot be written: {error.strerror or error}"
        hint = what_to_do(error, "name another folder")
        raise BookError(why, input="DIR", read=str(folder), hint=hint) from error
    return Printed(len(filed), written, kept, removed)


def _files(
    library: Library, bench: Bench, filed: Sequence[Filed], progress: Progress, folder: Path
) -> Iterator[tuple[str, str]]:
    """Give each file's name and text. The contents come last: they say that all is there."""
    alone = around(library)
    ids = {one.entry.id for one in filed}
    beside = Surroundings(pages=ids, picture=alone.picture, draw=alone.draw)
    for number, one in enumerate(filed):
        progress("printing", number, len(filed))
        yield f"{SHEETS}/{one.entry.id}.html", _sheet(library, bench, one, beside)
    entries = [one.entry for one in filed]
    words = library.vocabulary
    units, signs = by_unit(entries, words), by_sign(entries, words)
    title = library.shop.name or "Write-ups"
    shared = {"book": title, "foot": [book_words(library)]}
    for name, heading, groups in (
        ("units.html", "By unit", units),
        ("signs.html", "By sign", signs),
    ):
        values = {**shared, "title": f"{title}: {heading.lower()}", "heading": heading}
        yield name, page("groups.html", {**values, "groups": groups}, foot=title)
    yield "words.js", words_file(entries, words)
    yield "search.js", own_file("search.js")
    index = {**shared, "title": title, "units": units, "count": len(entries)}
    yield INDEX, _index(folder / INDEX, index)


def _sheet(library: Library, bench: Bench, filed: Filed, beside: Surroundings) -> str:
    from fixbook.app.sheets import lay_out

    entry = filed.entry
    revised = f"revised {entry.revised}" if entry.revised else ""
    under = (entry.id, entry.unit, entry.section, revised)
    blocks = lay_out(library, filed, bench, paper=True)
    foot = [", ".join(word for word in (entry.id, revised) if word)]
    return sheet_page(entry.title, under, blocks, beside, foot=foot)


def _index(path: Path, values: dict[str, object]) -> str:
    """Give the first page; with the day it had where nothing else in it changed."""
    made = page("contents.html", {**values, "day": today()}, foot="")
    old = _text(path)
    day = re.search(r'<time datetime="(\d{4}-\d\d-\d\d)">', old)
    if day:
        same = page("contents.html", {**values, "day": day[1]}, foot="")
        return old if same == old else made
    return made


def _check_folder(library: Library, folder: Path) -> None:
    real = Path(os.path.realpath(folder))
    why = ""
    if folder.exists() and not folder.is_dir():
        why = f"{folder} is not a folder"
    elif any(_within(real, Path(os.path.realpath(one.root))) for one in library.shelves):
        why = f"{folder} is among the write-ups"
    elif library.own is not None and real == Path(os.path.realpath(library.own)):
        why = f"{folder} is the book itself"
    elif folder.is_dir() and any(folder.iterdir()) and not _made_here(folder):
        why = f"{folder} holds other files, and no book that was printed there"
    if why:
        hint = "name a new folder, or one that a book was printed into before"
        raise BookError(why, input="DIR", read=str(folder), hint=hint)


def _within(inner: Path, outer: Path) -> bool:
    return inner == outer or outer in inner.parents


def _made_here(folder: Path) -> bool:
    """Say whether a book was printed here before, or was being printed and was stopped."""
    names = {one.name for one in folder.iterdir() if not one.name.startswith(PARTIAL)}
    half_done = names <= {SHEETS, "units.html", "signs.html", "words.js", "search.js"}
    return half_done or MARK in _text(folder / INDEX)[:4096]


def _manifest(folder: Path) -> set[str]:
    try:
        names = json.loads(_text(folder / MANIFEST) or "[]")
    except ValueError:
        return set()
    return {name for name in names if isinstance(name, str)} if isinstance(names, list) else set()


def _remove(folder: Path, names: set[str]) -> int:
    removed = 0
    for name in sorted(names):
        path = folder / name
        if _OURS.fullmatch(name) and MARK in _text(path)[:4096]:
            path.unlink()
            removed += 1
    return removed


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except (OSError, ValueError):
        return ""


def _put(path: Path, text: str) -> bool:
    """Write a file where its text changed; say whether it was written."""
    data = text.encode("utf-8", "replace")
    try:
        if path.read_bytes() == data:
            return False
    except OSError:
        pass
    # In one step, but not flushed: a page that a power cut takes is made again the next time.
    partial = path.with_name(f"{PARTIAL}{path.name}")
    try:
        partial.write_bytes(data)
        os.replace(partial, path)
    except BaseException:
        with contextlib.suppress(OSError):
            partial.unlink()
        raise
    return True
