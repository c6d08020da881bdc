"""Which plugin files of which book the user trusts, by digest, kept outside the book."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import NamedTuple

from fixbook.errors import BookError, what_to_do
from fixbook.store.writing import write_text

PLUGINS = "plugins"
FILE = "trusted.json"


class PluginFile(NamedTuple):
    """A plugin file of a book, with the digest of its bytes as they are now."""

    name: str
    path: Path
    digest: str
    source: bytes
    """The bytes that were digested: what is run is what was trusted."""


def plugin_sources(book: Path) -> list[PluginFile]:
    """List the plugin files of a book: `plugins/NAME.py`, nothing deeper, no links."""
    folder = book / PLUGINS
    if folder.is_symlink() or not folder.is_dir():
        return []
    found = []
    for path in sorted(folder.glob("*.py")):
        if path.is_symlink() or not path.is_file() or path.name.startswith(("_", ".")):
            continue
        try:
            source = path.read_bytes()
        except OSError:
            continue  # one that cannot be read cannot be trusted either
        found.append(PluginFile(path.stem, path, hashlib.sha256(source).hexdigest(), source))
    return found


def trusted(config: Path, book: Path) -> dict[str, str]:
    """Give the trusted digests of a book by file name; empty where nothing is trusted."""
    return _read(config).get(_key(book), {})


def trust(config: Path, book: Path, files: list[PluginFile]) -> None:
    """Trust exactly these files of a book from now on; BookError where it cannot be noted."""
    known = _read(config)
    known[_key(book)] = {file.name: file.digest for file in files}
    if not files:
        del known[_key(book)]
    try:
        config.mkdir(mode=0o700, parents=True, exist_ok=True)
        text = json.dumps(known, indent=1, sort_keys=True) + "\n"
        write_text(config / FILE, text, private=True)
    except OSError as error:
        raise BookError(
            f"what is trusted cannot be noted in {config / FILE}: {error.strerror or error}",
            input="trust",
            read=str(config),
            hint=what_to_do(error, "look at the folder's permissions"),
        ) from error


def _key(book: Path) -> str:
    return os.path.realpath(book)


def _read(config: Path) -> dict[str, dict[str, str]]:
    try:
        data = json.loads((config / FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}  # nothing readable is nothing trusted
    if not isinstance(data, dict):
        return {}
    return {
        str(book): {str(name): str(digest) for name, digest in files.items()}
        for book, files in data.items()
        if isinstance(files, dict)
    }
