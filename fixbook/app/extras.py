"""Documents of plugins in the index, and which files say that they changed.

While no watched file has changed, no plugin is imported to ask.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from fixbook.app.kept import keep, read_kept, texts

if TYPE_CHECKING:
    from fixbook.app.library import Library
    from fixbook.core.plugins import ExtraDocument, ExtraDocuments
    from fixbook.core.query import Document

FILE = "extras.json"
HOOK = "fixbook_index_documents"

T = TypeVar("T")


class Extras:
    """The documents that plugins add to the index of a library."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._path: Path = library.cache / FILE
        self._kept = self._load()
        self._asked: dict[str, tuple[str, ExtraDocuments]] | None = None

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of document that plugins add."""
        return tuple(self._kept)

    @property
    def state(self) -> str:
        """A text that changes when a watched file does."""
        return json.dumps(self._kept, sort_keys=True)

    @property
    def state_now(self) -> str:
        """A text that changes when a watched file does, with the files as they are now."""
        now = {kind: {path: _stamp(path) for path in files} for kind, files in self._kept.items()}
        return json.dumps(now, sort_keys=True)

    @property
    def changed(self) -> bool:
        """Whether the plugins have to be asked: for the first time, or a file has changed."""
        if not self._path.exists():
            return True
        return any(
            _stamp(path) != stamp for files in self._kept.values() for path, stamp in files.items()
        )

    def stamps(self) -> dict[str, str]:
        """Ask the plugins: each document's source, `kind:id`, with its stamp."""
        return {
            f"{kind}:{id}": stamp
            for kind, (plugin, documents) in self._ask().items()
            for stamps in self._attempt(plugin, documents.stamps)
            for id, stamp in stamps.items()
        }

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
        keep(self._path, dict(self._watched))
        self._kept = self._watched

    def _attempt(self, plugin: str, work: Callable[[], T]) -> list[T]:
        return self._library.registry.attempt(plugin, HOOK, work)

    def _ask(self) -> dict[str, tuple[str, ExtraDocuments]]:
        if self._asked is None:
            from fixbook.app.bench import LibraryBench
            from fixbook.core.plugins import ExtraDocuments

            bench = LibraryBench(self._library)
            found = self._library.registry.gather(HOOK, ExtraDocuments, bench=bench)
            self._asked = {one.kind: (name, one) for name, one in found}
            # Before the documents are listed: what changes meanwhile is seen next time.
            self._watched = {
                kind: {path: _stamp(path) for path in one.watch}
                for kind, (_, one) in self._asked.items()
            }
        return self._asked

    def _load(self) -> dict[str, dict[str, str]]:
        return {kind: texts(files) for kind, files in read_kept(self._path).items()}


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


def _stamp(path: str) -> str:
    try:
        info = os.stat(path)
    except OSError:
        return ""
    return f"{info.st_size}:{info.st_mtime_ns}"
