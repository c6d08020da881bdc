"""The plugins in a book's own folder: off until their owner trusts them."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

from fixbook.hooks.loader import Candidate
from fixbook.store.trust import PluginFile, plugin_sources, trusted


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


def _loader(file: PluginFile) -> Callable[[], ModuleType]:
    def load() -> ModuleType:
        # The bytes that were digested are run, not the file: it could have changed since.
        module = ModuleType(f"fixbook_book_{file.name}")
        module.__file__ = str(file.path)
        sys.modules[module.__name__] = module  # dataclasses look their module up there
        exec(compile(file.source, str(file.path), "exec"), module.__dict__)  # noqa: S102
        return module

    return load
