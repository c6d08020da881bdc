"""Documents of plugins in the index, and which files say that they changed.

While no watched file has changed, no plugin is imported to ask. Where others write on machines of
their own no file tells: such documents are asked for again every so often, by a process beside
this one, so that nobody waits for another machine's answer.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from fixbook.app.kept import keep, read_kept, texts
from fixbook.app.often import Often, add_up
from fixbook.errors import FixbookError

if TYPE_CHECKING:
    from fixbook.app.bench import LibraryBench
    from fixbook.app.library import Library
    from fixbook.core.plugins import ExtraDocument, ExtraDocuments
    from fixbook.core.query import Document

FILE, ASKED = "extras.json", "extras.asked"
HOOK, SEEN = "fixbook_index_documents", "fixbook_seen_here"

T = TypeVar("T")


class Watched(NamedTuple):
    """What says that one kind's documents may have changed."""

    files: dict[str, str]
    """Each watched file with its stamp when the plugin was asked."""
    every_s: float = 0.0
    """After this time they may have changed though no file has; 0 for never."""
    note: str = ""
    """Why they could not be asked for the last time."""


class Extras:
    """The documents that plugins add to the index of a library."""

    def __init__(self, library: Library, often: Often | None = None) -> None:
        self._library = library
        self._often = often
        self._path: Path = library.cache / FILE
        self._read, self._kept = 0, dict[str, Watched]()
        self._load()
        self._asked: dict[str, tuple[str, ExtraDocuments]] | None = None

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of document that plugins add."""
        return tuple(self._kept)

    @property
    def notes(self) -> list[str]:
        """Why documents could not be asked for, for whoever searches them."""
        watched = self._kept if self._asked is None else self._watched
        return [one.note for one in watched.values() if one.note]

    @property
    def state(self) -> str:
        """A text that changes when a watched file does."""
        return json.dumps({kind: one.files for kind, one in self._kept.items()}, sort_keys=True)

    @property
    def state_now(self) -> str:
        """A text that changes when a watched file does, with the files as they are now."""
        now = {kind: _stamps(one.files) for kind, one in self._kept.items()}
        return json.dumps(now, sort_keys=True)

    @property
    def changed(self) -> bool:
        """Whether the plugins have to be asked: for the first time, or a file has changed."""
        self._load()  # another process may have asked them
        if not self._read:
            return True
        return any(_stamps(one.files) != one.files for one in self._kept.values())

    @property
    def old(self) -> bool:
        """Whether others may have written, on machines of their own, since plugins were asked."""
        every = min((one.every_s for one in self._kept.values() if one.every_s), default=0.0)
        return bool(every) and _age_s(self._path) >= every

    def look_later(self) -> None:
        """Let a process beside this one ask where it is time to, and do not wait for it."""
        asked = self._path.with_name(ASKED)
        every = min((one.every_s for one in self._kept.values() if one.every_s), default=0.0)
        if not self.old or _age_s(asked) < every:
            return
        from fixbook.app.beside import refresh_beside

        with contextlib.suppress(OSError):  # without a cache it is asked for more often
            asked.touch()
            os.utime(asked)
        refresh_beside(self._library)

    def stamps(self, known: Mapping[str, str]) -> dict[str, str]:
        """Ask the plugins: each document's source, `kind:id`, with its stamp.

        Where a plugin cannot answer, its documents stay as they are `known`, with a note.
        """
        self._asked = None
        found: dict[str, str] = {}
        for kind, (plugin, documents) in self._ask().items():
            try:
                for stamps in self._attempt(plugin, documents.stamps):
                    found |= {f"{kind}:{id}": stamp for id, stamp in stamps.items()}
            except FixbookError as error:
                self._not_answered(kind, error)
                found |= {one: at for one, at in known.items() if one.startswith(f"{kind}:")}
        return found

    def documents(self, sources: Mapping[str, str]) -> Iterator[tuple[str, list[Document]]]:
        """Make the documents of these sources."""
        for source in sources:
            kind, _, id = source.partition(":")
            plugin, documents = self._ask()[kind]
            made = self._attempt(plugin, partial(documents.document, id))
            yield source, [document(kind, id, source, one) for one in made if one]

    def keep(self) -> None:
        """Note the watched files as they were when the plugins were asked."""
        if self._asked is None:
            return
        if self._often is not None:
            self._often.keep(self._counts)
        value = {kind: one._asdict() for kind, one in self._watched.items()}
        keep(self._path, dict(value))
        self._kept, self._asked = self._watched, None
        self._read = _changed(self._path)

    def _attempt(self, plugin: str, work: Callable[[], T]) -> list[T]:
        return self._library.registry.attempt(plugin, HOOK, work)

    def _ask(self) -> dict[str, tuple[str, ExtraDocuments]]:
        if self._asked is None:
            from fixbook.app.bench import LibraryBench
            from fixbook.core.plugins import ExtraDocuments

            bench = LibraryBench(self._library)
            found = self._library.registry.gather(HOOK, ExtraDocuments, bench=bench)
            self._counts = self._count(bench)
            self._asked = {one.kind: (name, one) for name, one in found}
            # Before the documents are listed: what changes meanwhile is seen next time.
            self._watched = {
                kind: Watched(_stamps(one.watch), one.every_s)
                for kind, (_, one) in self._asked.items()
            }
        return self._asked

    def _count(self, bench: LibraryBench) -> dict[str, int]:
        try:
            counted = self._library.registry.values(SEEN, Mapping, bench=bench)
        except FixbookError:  # the plugin's documents say the same, with a note
            return {}
        attempt = self._library.registry.attempt
        sums = [attempt(plugin, SEEN, partial(add_up, [one])) for plugin, one in counted]
        return add_up([one for several in sums for one in several])

    def _not_answered(self, kind: str, error: FixbookError) -> None:
        hint = f"; {error.hint}" if error.hint else ""
        note = f"each {kind} is as it was when last looked up: {error.why}{hint}"
        watched = self._watched[kind]._replace(note=note)
        if not watched.every_s:  # asking costs little here: ask again until there is an answer
            watched = watched._replace(files=dict.fromkeys(watched.files, "?"))
        self._watched[kind] = watched

    def _load(self) -> None:
        changed = _changed(self._path)
        if changed == self._read:
            return
        self._read, self._kept = changed, {}
        for kind, one in read_kept(self._path).items():
            every = one.get("every_s") if isinstance(one, dict) else None
            if not isinstance(one, dict) or not isinstance(every, (int, float)):
                self._read, self._kept = 0, {}  # it is of another layout: ask again
                return
            note = str(one.get("note") or "")
            self._kept[kind] = Watched(texts(one.get("files")), float(every), note)


def document(kind: str, id: str, source: str, made: ExtraDocument) -> Document:
    """Give a plugin's document the shape that the index takes."""
    from fixbook.core.query import Document

    one = {"unit": made.unit, "section": made.section, "state": made.state, "kind": kind}
    facets = {name: (value,) for name, value in one.items() if value}
    return Document(
        f"{kind}:{id}",
        source,
        {"title": made.title, **made.text},
        {**made.facets, **facets},
        {"id": id, "title": made.title, **one},
    )


def _stamps(paths: Iterable[str]) -> dict[str, str]:
    return {path: _stamp(path) for path in paths}


def _stamp(path: str) -> str:
    try:
        info = os.stat(path)
    except OSError:
        return ""
    return f"{info.st_size}:{info.st_mtime_ns}"


def _changed(path: Path) -> int:
    try:
        return os.stat(path).st_mtime_ns
    except OSError:
        return 0


def _age_s(path: Path) -> float:
    return abs(time.time() - _changed(path) / 1e9)
