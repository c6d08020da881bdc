"""The plugins in a book's own folder: off until their owner trusts them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

from fixbook.hooks.loader import Candidate
from fixbook.store.trust import PLUGINS, PluginFile, plugin_sources, trusted

if TYPE_CHECKING:
    from fixbook.app.library import Library

_MOST_SAID = 3


def book_candidates(book: Path | None, config: Path) -> list[Candidate]:
    """Give the trusted plugins of a book; a changed or new file is not among them."""
    if book is None:
        return []
    known = trusted(config, book)
    return [
        Candidate(file.name, str(file.path), _loader(file))
        for file in plugin_sources(book)
        if known.get(file.name) == file.digest
    ]


def untrusted_files(book: Path | None, config: Path) -> list[PluginFile]:
    """Give the plugin files of a book that are off: never trusted, or changed since."""
    if book is None:
        return []
    known = trusted(config, book)
    return [file for file in plugin_sources(book) if known.get(file.name) != file.digest]


def off_note(library: Library) -> str:
    """Say which plugin files of a book are off, why, and what turns them on; empty: none is."""
    book, config = library.own, library.folders.config
    off = untrusted_files(book, config)
    if book is None or not off:
        return ""
    known = trusted(config, book)
    changed, new = "because it changed since it was trusted", "until it is trusted"
    said = [
        f"{PLUGINS}/{file.path.name} is off {changed if file.name in known else new}"
        for file in off[:_MOST_SAID]
    ]
    said += [f"{len(off) - _MOST_SAID} more are off"] if off[_MOST_SAID:] else []
    return f"{'; '.join(said)}: fixbook book trust"


def _loader(file: PluginFile) -> Callable[[], ModuleType]:
    def load() -> ModuleType:
        # The bytes that were digested are run, not the file: it could have changed since.
        module = ModuleType(f"fixbook_book_{file.name}")
        module.__file__ = str(file.path)
        sys.modules[module.__name__] = module  # dataclasses look their module up there
        exec(compile(file.source, str(file.path), "exec"), module.__dict__)  # noqa: S102
        return module

    return load
