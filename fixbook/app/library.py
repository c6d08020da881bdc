"""An open book: the shop's own write-ups and the starter book beside them, as one."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TextIO

from fixbook.app.folders import Folders, cache_for
from fixbook.app.pluginlist import plugin_files, plugin_stamp
from fixbook.errors import IndexFolderError, disk_is_full
from fixbook.settings import Place, read_shop
from fixbook.store.bundled import starter_folder
from fixbook.store.folder import ENTRIES, Listing, list_entries
from fixbook.store.trust import plugin_sources, trusted
from fixbook.store.writing import write_text

if TYPE_CHECKING:
    from fixbook.core.entry import Entry
    from fixbook.core.links import Link, LinkTarget
    from fixbook.core.problems import Problem
    from fixbook.core.vocabulary import Vocabulary
    from fixbook.errors import PluginError
    from fixbook.hooks.registry import Registry

OWN, STARTER = "own", "starter"
LAYOUT = "1"
"""Changes when what is compiled into the cache changes its shape."""


class Shelf(NamedTuple):
    """One folder of entries: the shop's own, or the starter book."""

    name: str
    """`own` or `starter`."""
    root: Path
    shown: str
    """How its files are named in messages."""


class Filed(NamedTuple):
    """A write-up with where it stands."""

    entry: Entry
    shelf: Shelf
    path: str
    problems: tuple[Problem, ...]
    replaces_starter: bool = False

    @property
    def file(self) -> str:
        """Its file as messages show it."""
        return f"{self.shelf.shown}/{self.path}"


class Library:
    """Reads write-ups and vocabulary; what was read of the vocabulary is kept in the cache."""

    def __init__(self, place: Place, folders: Folders, *, trace: TextIO | None = None) -> None:
        self.place = place
        self.trace = trace
        self.on_plugin_error: Callable[[PluginError], None] | None = None
        self.folders = folders
        self.own = place.folder
        self.shop, self.shop_problems = read_shop(self.own)
        self.shelves = self._shelves()
        self.spare: Path | None = None
        """Holds the cache where its own disk is full."""
        self.read_before: dict[str, Filed] = {}
        """Write-ups by id that need not be read again while one long piece of work is done."""

    @cached_property
    def cache(self) -> Path:
        """The cache folder of this book; IndexFolderError where it cannot be made."""
        starter = next((one.root for one in self.shelves if one.name == STARTER), None)
        try:
            return cache_for(self.folders.cache, self.own, starter)
        except IndexFolderError as error:
            return self.use_spare_cache(error)

    def use_spare_cache(self, error: IndexFolderError) -> Path:
        """Keep the cache in a temporary folder from now on, and give it: its own disk is full.

        It goes with the library. The error is raised again where it says something else, and
        where there is no such folder either.
        """
        if not disk_is_full(error) or self.spare is not None:
            raise error
        import shutil  # with the next, 3 ms that a search never pays
        import tempfile
        import weakref

        try:
            self.spare = Path(tempfile.mkdtemp(prefix="fixbook-"))
        except OSError:
            raise error from error.__cause__
        weakref.finalize(self, shutil.rmtree, self.spare, ignore_errors=True)
        self.__dict__["cache"] = self.spare
        return self.spare

    def kept_path(self, name: str) -> Path | None:
        """Give the place of a file in the cache; None where there is no cache to keep it in.

        That costs time, not answers.
        """
        try:
            return self.cache / name
        except IndexFolderError:
            return None

    @cached_property
    def plugins(self) -> list[tuple[str, str, str]]:
        """The installed plugins: name, import path, file."""
        return plugin_files(self.folders.cache)

    @cached_property
    def listings(self) -> dict[str, Listing]:
        """The files of each shelf. A starter entry with an own namesake is left out."""
        listings = {
            shelf.name: list_entries(shelf.root, shown=shelf.shown) for shelf in self.shelves
        }
        if OWN in listings and STARTER in listings:
            own = {stem(path) for path in listings[OWN].entries}
            starter = listings[STARTER]
            self._replaced = {stem(path) for path in starter.entries} & own
            starter.entries = {
                path: stamp for path, stamp in starter.entries.items() if stem(path) not in own
            }
        return listings

    def look_again(self) -> None:
        """Forget what was listed, so that changes on the disk are seen."""
        for name in ("listings", "vocabulary", "words_stamp"):
            self.__dict__.pop(name, None)

    @cached_property
    def words_stamp(self) -> str:
        """A text that changes when any word of the vocabulary may have changed."""
        files = [
            f"{name}:{path!a}={stamp}"
            for name, listing in self.listings.items()
            for path, stamp in listing.vocabulary.items()
        ]
        own = book_stamp(self.own, self.folders.config)
        return "\n".join([LAYOUT, plugin_stamp(self.plugins), own, *files])

    @cached_property
    def vocabulary(self) -> Vocabulary:
        """All words: the plugins', the starter book's, then the shop's own, which holds."""
        from fixbook.store.words import dump, load

        try:
            path = self.cache / "words.json"
            stamp, _, text = path.read_text(encoding="utf-8").partition("\0")
            if stamp == self.words_stamp:
                return load(text)
        except (OSError, ValueError, IndexFolderError):
            pass  # missing, outdated or damaged: made anew
        vocabulary, _ = self.read_vocabulary()
        try:
            path = self.cache / "words.json"
            write_text(path, f"{self.words_stamp}\0{dump(vocabulary)}", private=True)
        except (OSError, IndexFolderError):
            pass  # costs time, not answers
        return vocabulary

    def read_vocabulary(self) -> tuple[Vocabulary, list[Problem]]:
        """Read the vocabulary from its files and plugins, with all its faults."""
        from fixbook.core.vocabulary import Vocabulary, merge
        from fixbook.store.words import read_words, unknown_references

        added = self.registry.values("fixbook_words", Vocabulary)
        parts: list[Vocabulary] = [words for _, words in added]
        problems: list[Problem] = []
        for shelf in reversed(self.shelves):  # the starter book first, so that the own words hold
            words, faults = read_words(self.listings[shelf.name], shown=shelf.shown)
            parts.append(words)
            problems += faults
        merged = merge(parts)
        shown = f"{self.shelves[0].shown}/vocabulary" if self.shelves else "vocabulary"
        return merged, problems + unknown_references(merged, shown)

    def read(self, shelf: Shelf, path: str) -> tuple[Filed | None, list[Problem]]:
        """Read one listed write-up; None, and why, where it cannot be used."""
        from fixbook.app.reading_files import read_copy

        copy = read_copy(self, shelf, path)
        return copy.filed, copy.problems

    @property
    def replaced(self) -> set[str]:
        """The ids of starter entries that an own entry stands in for."""
        self.listings  # noqa: B018  # listing finds them
        return getattr(self, "_replaced", set())

    def files(self) -> Iterator[tuple[Shelf, str]]:
        """Give every listed write-up: its shelf and path."""
        for shelf in self.shelves:
            for path in self.listings[shelf.name].entries:
                yield shelf, path

    def filed(self, units: Collection[str] = ()) -> Iterator[Filed]:
        """Read every write-up that can be used; of two with one id, the first.

        With `units`, those in the folders of these units alone.
        """
        seen: set[str] = set()
        for shelf, path in self.files():
            if units and path.split("/", 1)[0] not in units:
                continue
            found, _ = self.read(shelf, path)
            if found is not None and found.entry.id not in seen:
                seen.add(found.entry.id)
                yield found

    def find(self, id: str) -> Filed | None:
        """Give the write-up with this id or former id; None where there is none."""
        wanted = id.strip().lower()
        if wanted in self.read_before:
            return self.read_before[wanted]
        for shelf, path in self.files():
            if stem(path) == wanted:
                found, _ = self.read(shelf, path)
                if found is not None and found.entry.id == wanted:
                    return found
        for found in self.filed():  # a former id, or a file with another name than its id
            if found.entry.id == wanted or wanted in found.entry.aliases:
                return found
        return None

    def beside(self, root: Path) -> Library:
        """Open a folder of entries as a book of its own, with the starter book's words."""
        other = Library(Place(None, "PATH"), self.folders)
        starter = other.shelves[-1]
        same = os.path.realpath(starter.root) == os.path.realpath(root)
        named = Shelf(STARTER if same else OWN, root, _short(root))
        other.shelves = [named] if same else [named, starter]
        return other

    def link_schemes(self) -> dict[str, Callable[[Link], LinkTarget]]:
        """Give what resolves each link scheme that plugins know."""
        from functools import partial

        from fixbook.app.bench import LibraryBench
        from fixbook.app.linking import resolve
        from fixbook.core.plugins import LinkScheme

        bench = LibraryBench(self)
        found = self.registry.gather("fixbook_link_schemes", LinkScheme)
        return {
            one.scheme: partial(resolve, self.registry, name, one, bench) for name, one in found
        }

    @cached_property
    def registry(self) -> Registry:
        """The plugins of this run."""
        from fixbook.app.pluginlist import candidates
        from fixbook.app.trusted import book_candidates
        from fixbook.hooks.loader import Candidate
        from fixbook.hooks.registry import Registry

        found: list[Candidate] = candidates(self.plugins)
        found += book_candidates(self.own, self.folders.config)
        return Registry(found, on_error=self.on_plugin_error, trace=self.trace)

    def _shelves(self) -> list[Shelf]:
        shelves = []
        if self.own is not None:
            root = self.own / ENTRIES
            shelves.append(Shelf(OWN, root, _short(root)))
        if self.own is None or self.shop.starter:
            shelves.append(Shelf(STARTER, starter_folder(), "starter"))
        return shelves


def book_stamp(book: Path | None, config: Path) -> str:
    """Give a text that changes when the set of a book's trusted plugins, or one of them, does."""
    known = trusted(config, book) if book else {}
    files = plugin_sources(book) if book and known else []
    return ";".join(
        f"{one.name}={one.digest}" for one in files if known.get(one.name) == one.digest
    )


def stem(path: str) -> str:
    """Give the id that a write-up's path stands for."""
    return path.rsplit("/", 1)[-1].removesuffix(".md")


def _short(path: Path) -> str:
    """Name a folder the way the user would type it from where they are."""
    relative = os.path.relpath(path)
    return str(path) if relative.startswith("..") else relative
