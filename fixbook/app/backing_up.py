"""One archive of a whole book, taken while others write in it.

Jobs first, then the book's files: a job that is linked to a write-up is never newer than it. The
files are listed, read, and listed again, until nothing has changed meanwhile; each is whole, since
every write of ours replaces a file in one step.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from typing import BinaryIO, NamedTuple

from fixbook.app.library import Library
from fixbook.errors import BookError, FixbookError, what_to_do
from fixbook.settings import FILE
from fixbook.store.archive import PIECE, SUMS, Archive, Held, Part, write_archive
from fixbook.store.archive_names import clashes, name_fault
from fixbook.store.folder import DRAFTS, ENTRIES, Stamp, list_files, stamp
from fixbook.store.trust import PLUGINS
from fixbook.store.writing import replacing

FOLDERS = (ENTRIES, DRAFTS, PLUGINS)
SINGLE = (FILE, ".gitignore")
COMPILED = "__pycache__"
ROUNDS, ENOUGH = 20, 5
"""Looks at a book that keeps changing; from the second on, a change of content is none."""

Progress = Callable[[str, int, int], None]


class BackedUp(NamedTuple):
    """An archive that was written and read back."""

    files: int
    size: int
    """Bytes of all files."""
    archive_size: int
    seal: str
    left_out: tuple[str, ...]
    """What lies in the book's folder and fixbook keeps nothing in; links that lead out of it."""
    lacking: tuple[str, ...]
    """What belongs in a backup and could not be read, each with the reason."""


def back_up(
    library: Library,
    target: Path,
    *,
    replace: bool = False,
    anyway: bool = False,
    progress: Progress | None = None,
) -> BackedUp:
    """Write a book into one archive, which appears under its name whole or not at all.

    BookError where something cannot be read, unless `anyway`; where there is no book or the
    archive cannot be written; and where the file is there already, unless `replace`.
    """
    if library.own is None:
        raise BookError(
            "there is no book of your own to back up: only the starter book is open",
            input="--book",
            hint="name the book: fixbook book backup FILE --book DIR",
        )
    _check_target(library.own, target, replace=replace)
    try:
        with closing(Copies(target.parent)) as copies:
            _copy_plugins_files(library, copies)
            _copy_book(library.own, copies, library.shop.stock, progress)
            if copies.faults and not anyway:
                raise LackingError(copies.faults)
            return _write(library.own, target, copies, progress)
    except OSError as error:
        raise BookError(
            f"the backup {target} cannot be written: {error.strerror or error}",
            input="FILE",
            read=str(target),
            hint="nothing was left under that name; " + what_to_do(error, "name another folder"),
        ) from error


class LackingError(BookError):
    """A backup that would not be whole; `problems` says what would be missing, and why."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__(
            f"the backup would lack {len(faults)} of what belongs in it; nothing was written",
            input="FILE",
            hint="mend what is named below, or leave it out with --anyway",
        )
        self.problems = tuple(faults)


class Copies:
    """What goes into an archive, copied into one nameless file beside it."""

    def __init__(self, folder: Path) -> None:
        self._spool: BinaryIO = tempfile.TemporaryFile(dir=folder)  # noqa: SIM115  # see `close`
        self.parts: dict[str, Part] = {}
        self.faults: list[str] = []
        self.left_out: list[str] = []

    def close(self) -> None:
        """Let the copies go."""
        self._spool.close()

    def add(self, name: str, pieces: Iterator[bytes]) -> None:
        """Copy a file; OSError where it cannot be read or the disk is full."""
        begins = self._spool.seek(0, os.SEEK_END)
        counted, size = hashlib.sha256(), 0
        for piece in pieces:
            self._spool.write(piece)
            counted.update(piece)
            size += len(piece)
        self.parts[name] = Part(Held(size, counted.hexdigest()), partial(self._read, begins, size))

    def _read(self, begins: int, size: int) -> Iterator[bytes]:
        at = begins
        while at < begins + size:
            self._spool.seek(at)
            piece = self._spool.read(min(PIECE, begins + size - at))
            at += len(piece)
            yield piece


def _check_target(book: Path, target: Path, *, replace: bool) -> None:
    hint = ""
    if target.is_dir():
        why, hint = f"{target} is a folder", "name the file of the backup, as in FOLDER/book.zip"
    elif not target.parent.is_dir():
        why, hint = f"the folder {target.parent} does not exist", "make it first"
    elif target.exists() and not replace:
        why = f"{target} is there already"
        hint = "name another file; --replace puts the new backup in its place"
    elif target.exists() and not target.is_file():
        why, hint = f"{target} is no file", "name the file of the backup"
    else:
        inside = os.path.relpath(os.path.realpath(target), os.path.realpath(book))
        if inside not in SINGLE and inside.split(os.sep)[0] not in FOLDERS:
            return
        why, hint = f"{target} is a place that is backed up itself", "name one outside of the book"
    raise BookError(why, input="FILE", read=str(target), hint=hint)


def _copy_plugins_files(library: Library, copies: Copies) -> None:
    """Copy what plugins keep beside the book, as they hand it out."""
    from fixbook.app.bench import LibraryBench
    from fixbook.core.plugins import BackupFile

    registry, hook = library.registry, "fixbook_backup"
    found = registry.gather(hook, BackupFile, bench=LibraryBench(library))
    for plugin, one in found:
        fault = name_fault(one.name) or ("taken" if one.name in (*copies.parts, SUMS) else "")
        if fault:
            copies.faults.append(f"{one.name}, of the plugin {plugin}: its name is {fault}")
            continue
        try:
            for content in registry.attempt(plugin, hook, one.content):
                copies.add(one.name, iter([bytes(content)]))
        except FixbookError as error:
            hint = f"; {error.hint}" if error.hint else ""
            copies.faults.append(f"{one.name}: {error.why}{hint}")
    copies.faults += [error.why for error in registry.errors]


def _copy_book(book: Path, copies: Copies, stock: str, progress: Progress | None) -> None:
    """Copy the book's files as they are now: list, read, and list again until all is still."""
    plugged = set(copies.parts)
    seen: dict[str, Stamp] = {}
    unreadable: dict[str, str] = {}
    for turn in range(ROUNDS):
        listed, faults, outside = _listed(book, stock, plugged)
        changed = [name for name, now in listed.items() if seen.get(name) != now]
        new = any(name not in seen for name in changed)
        gone = [name for name in seen if name not in listed]
        if turn and not gone and (not changed or (turn >= ENOUGH and not new)):
            break
        for name in (*gone, *changed):
            seen.pop(name, None)
            copies.parts.pop(name, None)
            unreadable.pop(name, None)
        for number, name in enumerate(changed):
            if progress and number % 50 == 0:
                progress("copying", number, len(changed))
            try:
                copies.add(name, _pieces(book / name))
            except FileNotFoundError:
                continue  # looked for again, under its new name if it has one
            except PermissionError as error:
                unreadable[name] = f"{name}: {error.strerror or error}"
            seen[name] = listed[name]
    else:
        raise BookError(
            f"the book {book} changes faster than it can be copied",
            input="--book",
            read=str(book),
            hint="nothing was written; try again when less is being changed",
        )
    copies.faults += [*faults, *unreadable.values()]
    copies.left_out += [*outside, *_strangers(book, {*listed, *plugged})]


def _listed(
    book: Path, stock: str, plugged: set[str]
) -> tuple[dict[str, Stamp], list[str], list[str]]:
    """List what belongs in a backup: the files with their stamps, faults, and what is left out."""
    found: dict[str, Stamp] = {}
    faults: list[str] = []
    outside: list[str] = []
    for part in FOLDERS:
        files, problems = list_files(book, part)
        found |= {name: at for name, at in files.items() if f"/{COMPILED}/" not in name}
        for one in problems:
            where = os.path.relpath(one.file, book)
            said = f"{where}: {one.problem}"
            (outside if one.rule in ("outside", "folder") else faults).append(said)
    for name in (*SINGLE, stock.strip()):
        if name and (now := stamp(book, name)) and _is_inside(book, name):
            found[Path(name).as_posix()] = now
    bad = {name: fault for name in found if (fault := _name_fault(name, plugged))}
    bad |= {name: f"it is {fault}" for name, fault in clashes(found)}
    faults += [f"{name}: rename it; {fault}" for name, fault in bad.items()]
    return {name: at for name, at in found.items() if name not in bad}, faults, outside


def _name_fault(name: str, plugged: set[str]) -> str:
    if name in plugged or name == SUMS:
        return "a plugin's file has this name"
    fault = name_fault(name)
    return f"its name has {fault}" if fault else ""


def _is_inside(book: Path, name: str) -> bool:
    """Say whether a file that the settings name lies in the book."""
    base, real = os.path.realpath(book), os.path.realpath(book / name)
    return (
        os.path.isfile(real)
        and os.path.commonpath([base, real]) == base
        and (not os.path.isabs(name) and ".." not in Path(name).parts)
    )


def _strangers(book: Path, names: set[str]) -> list[str]:
    """Give what else lies in the book's folder, hidden files left out."""
    known = {name.split("/")[0] for name in names} | set(FOLDERS)
    beside = tuple(name for name in names if "/" not in name)  # jobs.sqlite-wal
    found = []
    with suppress(OSError):
        for name in sorted(os.listdir(book)):
            if name not in known and not name.startswith((".", *beside)) and name != COMPILED:
                found.append(f"{name}/" if (book / name).is_dir() else name)
    return found


def _pieces(path: Path) -> Iterator[bytes]:
    with open(path, "rb") as file:
        while piece := file.read(PIECE):
            yield piece


def _write(book: Path, target: Path, copies: Copies, progress: Progress | None) -> BackedUp:
    if progress:
        progress("writing the archive", 0, 0)
    with replacing(target, private=True) as out:
        seal = write_archive(out, copies.parts)
        written = Archive(out, str(target))
        written.check()  # what cannot be read back never gets the name
        size = written.size
    total = sum(part.held.size for part in copies.parts.values())
    left_out, lacking = tuple(copies.left_out), tuple(copies.faults)
    return BackedUp(len(copies.parts), total, size, seal, left_out, lacking)
