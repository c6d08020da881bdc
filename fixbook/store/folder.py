"""Which files a book folder holds, and reading one of them.

Nothing outside the book is read: a link that leads out of it is reported and passed over.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from fixbook.core.problems import Problem
from fixbook.store.decoding import LARGEST, decode, too_large

ENTRIES, VOCABULARY, PICTURES = "entries", "vocabulary", "pictures"
DRAFTS = "drafts"

Stamp = tuple[int, int]
"""A file's size and time of change in nanoseconds."""


class Listing:
    """The files of one folder of entries, by their path in it, with `/` between the parts."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.entries: dict[str, Stamp] = {}
        self.vocabulary: dict[str, Stamp] = {}
        self.problems: list[Problem] = []


def list_entries(root: Path, *, shown: str = "") -> Listing:
    """List a folder of entries without opening a file; `shown` stands before names in messages."""
    listing = Listing(root)
    try:
        os.stat(root)
    except (FileNotFoundError, NotADirectoryError):
        return listing
    except OSError:
        pass  # the walk meets the same and says so
    base = os.path.realpath(root)
    shown = shown or str(root)
    for path, name, info in _walk(base, "", base, shown, listing.problems):
        top = path.split("/", 1)[0]
        if name.endswith(".md") and top not in (VOCABULARY, PICTURES):
            listing.entries[path] = info
        elif top == VOCABULARY and name.endswith((".yaml", ".yml")):
            listing.vocabulary[path] = info
    return listing


def list_files(book: Path, part: str) -> tuple[dict[str, Stamp], list[Problem]]:
    """List every file in one folder of a book by its path in the book; hidden ones are left out."""
    problems: list[Problem] = []
    if not os.path.lexists(book / part):
        return {}, problems
    base = os.path.realpath(book / part)
    found = {path: info for path, _, info in _walk(base, f"{part}/", base, str(book), problems)}
    return found, problems


def read_file(root: Path, path: str, *, shown: str = "") -> tuple[str, list[Problem]]:
    """Read one listed file; the text is empty, with the reason, where it cannot be read."""
    file = f"{shown or root}/{path}"
    try:
        with open(root / path, "rb") as opened:
            data = opened.read(LARGEST + 1)
            if len(data) > LARGEST:
                return "", [too_large(file, os.fstat(opened.fileno()).st_size)]
    except FileNotFoundError:
        return "", [
            Problem(file, 1, 1, "gone", "the file went away while it was being read", "look again")
        ]
    except OSError as error:
        why = error.strerror or str(error)
        return "", [Problem(file, 1, 1, "unreadable", why, "look at its permissions")]
    return decode(data, file)


def stamp(root: Path, path: str) -> Stamp | None:
    """Give a file's stamp; None where it is not there."""
    try:
        info = os.stat(root / path)
    except OSError:
        return None
    return info.st_size, info.st_mtime_ns


def _walk(
    folder: str, prefix: str, base: str, shown: str, problems: list[Problem]
) -> Iterator[tuple[str, str, Stamp]]:
    try:
        with os.scandir(folder) as found:
            children = sorted(found, key=lambda child: child.name)
    except OSError as error:
        name = f"{shown}/{prefix}".rstrip("/")
        why = error.strerror or str(error)
        problems.append(Problem(name, 1, 1, "unreadable", why, "look at its permissions"))
        return
    for child in children:
        if child.name.startswith("."):
            continue
        path = prefix + child.name
        try:
            info = _look(child, base)
        except OSError as error:
            why = error.strerror or str(error)
            problems.append(Problem(f"{shown}/{path}", 1, 1, "unreadable", why, "mend the link"))
            continue
        if info is None:
            do = "copy the file into the book; nothing outside it is read"
            problems.append(
                Problem(f"{shown}/{path}", 1, 1, "outside", "a link that leads out of the book", do)
            )
        elif stat.S_ISDIR(info.st_mode):
            if child.name.endswith(".md"):
                do = "rename the folder, or make it a file"
                problems.append(
                    Problem(f"{shown}/{path}", 1, 1, "folder", "a folder named like a write-up", do)
                )
            if not child.is_symlink():  # a link to a folder could go round in a circle
                yield from _walk(child.path, path + "/", base, shown, problems)
        elif stat.S_ISREG(info.st_mode):
            yield path, child.name, (info.st_size, info.st_mtime_ns)


def _look(child: os.DirEntry[str], base: str) -> os.stat_result | None:
    """Give what stands behind a name; None where a link leads out of the book."""
    if child.is_symlink():
        target = os.path.realpath(child.path)
        if os.path.commonpath([base, target]) != base:
            return None
    return child.stat()
