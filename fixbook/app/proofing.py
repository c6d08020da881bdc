"""Proofing: every fault of every write-up and vocabulary file, at once."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from fixbook.app.bench import LibraryBench, Progress
from fixbook.app.library import Filed, Library, Shelf
from fixbook.app.proof_book import repeated_ids, too_alike
from fixbook.app.proof_links import link_faults
from fixbook.app.proof_plugins import failed_plugins, plugin_faults, plugin_rules
from fixbook.app.reading_files import Copy, read_copy, read_text
from fixbook.core.entry import Entry
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.proof_marks import conflict_marks, gaps
from fixbook.core.proof_page import page_faults
from fixbook.core.proof_signs import untold_signs
from fixbook.errors import BookError
from fixbook.store.document import compose
from fixbook.store.folder import VOCABULARY, read_file


@dataclass(frozen=True, slots=True)
class Proof:
    """What proofing found."""

    files: int
    """How many files were looked at."""
    problems: tuple[Problem, ...]

    def to_json(self) -> dict[str, object]:
        """Give the shape of `proof --json`."""
        return {"files": self.files, "problems": [one.to_json() for one in self.problems]}


def _silent(what: str, done: int, whole: int) -> None:
    """Tell nobody."""


def proof(library: Library, paths: Sequence[str] = (), progress: Progress = _silent) -> Proof:
    """Proof the book, or only the files and folders named; BookError for a path that is none.

    A folder outside the open book is proofed as a book of its own.
    """
    files = 0
    problems: list[Problem] = []
    filed: list[str] = []
    for path in paths:
        drafts = _drafts(library, path)
        if drafts is None:
            filed.append(path)
        else:
            files, problems = files + drafts[0], [*problems, *drafts[1]]
    for opened, wanted in opened_at(library, filed) if filed or not paths else ():
        found = _proof_shelf(opened, wanted, progress)
        files += found.files
        problems += found.problems
    return Proof(files, tuple(dict.fromkeys(problems)))


def _drafts(library: Library, path: str) -> tuple[int, list[Problem]] | None:
    from fixbook.app.proof_drafts import draft_problems  # which proofs as writing does, with this

    return draft_problems(library, path)


def proof_text(
    library: Library, shelf: Shelf, text: str, file: str
) -> tuple[Entry | None, list[Problem]]:
    """Proof a text that is not in the book yet, by the rules that look at one write-up alone.

    Ids are known by the names of the files, so that no other write-up is read.
    """
    document, entry, problems = read_text(text, file, library.vocabulary)
    if entry is not None:
        path = f"{entry.unit}/{entry.id}.md"
        copy = Copy(file, text, document, Filed(entry, shelf, path, ()), problems)
        problems = [*problems, *_alone(library, [copy], [copy])]
    else:
        problems = [*problems, *gaps(file, text)]
    return entry, sorted(set(problems))


def opened_at(library: Library, paths: Sequence[str]) -> Iterator[tuple[Library, str | None]]:
    """Give the books that paths are in, each with the file or folder in it, None for the whole."""
    if not paths:
        yield library, None
    for path in paths:
        root, wanted = _root_of(path)
        place = os.path.realpath(root / (wanted or ""))
        own = os.path.realpath(library.shelves[0].root)
        if place == own:
            yield library, None
        elif place.startswith(own + os.sep):  # with the plugins and settings of the open book
            yield library, Path(place).relative_to(own).as_posix()
        else:
            yield library.beside(root), wanted


def copies_of(library: Library, shelf: Shelf, progress: Progress = _silent) -> list[Copy]:
    """Read every write-up of a shelf, once."""
    entries = library.listings[shelf.name].entries
    copies = []
    for done, path in enumerate(entries):
        progress("reading write-ups", done, len(entries))
        copies.append(read_copy(library, shelf, path))
    return copies


def is_wanted(path: str, wanted: str | None) -> bool:
    """Say whether a file is the one, or in the folder, that was named."""
    return wanted is None or path == wanted or path.startswith(f"{wanted}/")


def _root_of(path: str) -> tuple[Path, str | None]:
    """Give the folder of entries that a path belongs to, and the file in it, if it is one."""
    given = Path(path)
    if not given.exists():
        raise BookError(
            f"there is no file or folder {path}",
            input="PATH",
            read=path,
            hint="name a write-up's file, a folder of write-ups, or nothing for the whole book",
        )
    absolute = given.absolute()
    if (absolute / "entries").is_dir():
        return absolute / "entries", None
    if absolute.is_dir() and not (absolute.parent / VOCABULARY).is_dir():
        return absolute, None
    start = absolute if absolute.is_dir() else absolute.parent
    roots = [one for one in (start, *start.parents) if (one / VOCABULARY).is_dir()]
    root = roots[0] if roots else (start if absolute.is_dir() else start.parent)
    inside = absolute.relative_to(root).as_posix()
    return root, None if inside == "." else inside


def _proof_shelf(library: Library, wanted: str | None, progress: Progress) -> Proof:
    """Proof the first shelf of a book; what stands beside it is read to compare with."""
    shelf = library.shelves[0]
    listing = library.listings[shelf.name]
    _, problems = library.read_vocabulary()
    problems = [*library.shop_problems, *problems, *listing.problems]
    problems += _word_faults(library, shelf)
    copies = copies_of(library, shelf, progress)
    beside = [one for other in library.shelves[1:] for one in copies_of(library, other)]
    files = (*listing.vocabulary, *listing.entries)
    looked_at = [path for path in files if is_wanted(path, wanted)]
    for copy in copies:
        problems += copy.problems
    problems += _across(library, [*beside, *copies])
    own = [copy for copy in copies if is_wanted(_path_of(copy, shelf), wanted)]
    problems += _alone(library, own, [*copies, *beside], progress)
    problems += failed_plugins(library)
    if wanted is not None:
        begins = f"{shelf.shown}/{wanted}"
        problems = [one for one in problems if one.file == begins or begins + "/" in one.file]
    else:
        others = {copy.file for copy in beside}
        problems = [one for one in problems if one.file not in others]
    return Proof(len(looked_at), tuple(sorted(set(problems))))


def _alone(
    library: Library, own: Sequence[Copy], copies: Sequence[Copy], progress: Progress = _silent
) -> Iterator[Problem]:
    """Report what is wrong with each write-up by itself."""
    bench = LibraryBench(library)
    rules = plugin_rules(library)
    schemes = library.link_schemes()
    known = _known_ids(library, copies)
    for done, copy in enumerate(own):
        progress("proofing write-ups", done, len(own))
        yield from gaps(copy.file, copy.text)
        if page := copy.page:
            yield from page_faults(page, library.vocabulary)
            yield from link_faults(copy, page, known, schemes)
            yield from plugin_faults(library, bench, page, rules)


def _across(library: Library, copies: Sequence[Copy]) -> Iterator[Problem]:
    """Report what is wrong between write-ups; the later of two is reported."""
    pages: list[Page] = [page for copy in copies if (page := copy.page)]
    yield from repeated_ids(pages)
    yield from too_alike(copies, library.vocabulary)


def _word_faults(library: Library, shelf: Shelf) -> Iterator[Problem]:
    for path in library.listings[shelf.name].vocabulary:
        file = f"{shelf.shown}/{path}"
        text, _ = read_file(shelf.root, path, shown=shelf.shown)
        yield from conflict_marks(file, text)
        front, _ = compose(text, file)
        if front is not None:
            yield from untold_signs(file, front, library.vocabulary)


def _known_ids(library: Library, copies: Iterable[Copy]) -> set[str]:
    """Give every id that leads somewhere; a file that cannot be read now is still there."""
    known = {path.rsplit("/", 1)[-1].removesuffix(".md") for _, path in library.files()}
    for copy in copies:
        if copy.filed is not None:
            known |= {copy.filed.entry.id, *copy.filed.entry.aliases}
    return known


def _path_of(copy: Copy, shelf: Shelf) -> str:
    return copy.file.removeprefix(f"{shelf.shown}/")
