"""Which plugins there are, kept in the cache so that no command scans packages for them.

Packages are scanned again when a folder of `sys.path`, or the file of a plugin, has changed.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fixbook.app.kept import keep, read_kept

if TYPE_CHECKING:
    from fixbook.hooks.loader import Candidate

FILE = "plugins.json"


def plugin_files(cache: Path) -> list[tuple[str, str, str]]:
    """Give each installed plugin's name, import path and file, from the cache where it holds."""
    seen = _path_stamp()
    kept = read_kept(cache / FILE)
    plugins = kept.get("plugins")
    if kept.get("path") == seen and isinstance(plugins, list):
        return [(str(name), str(module), str(file)) for name, module, file in plugins]
    found = _scan()
    keep(cache / FILE, {"path": seen, "plugins": found})
    return found


def plugin_stamp(files: Sequence[tuple[str, str, str]]) -> str:
    """Give a text that changes when the set of plugins or one of their files changes."""
    return ";".join(f"{name}={_stamp(file)}" for name, _, file in files)


def candidates(files: Sequence[tuple[str, str, str]]) -> list[Candidate]:
    """Give the installed plugins for the registry."""
    from fixbook.hooks.loader import Candidate

    return [Candidate(name, module) for name, module, _ in files]


def _scan() -> list[tuple[str, str, str]]:
    from importlib.util import find_spec

    from fixbook.hooks.loader import installed

    found = []
    for candidate in installed():
        try:
            spec = find_spec(candidate.module.partition(":")[0])
        except (ImportError, ValueError):
            spec = None  # its package is gone or broken: loading it says so, with its name
        found.append((candidate.name, candidate.module, (spec and spec.origin) or ""))
    return found


def _path_stamp() -> list[list[object]]:
    # Not the first: it is the script's folder or the one the user is in, and changes with it.
    folders = [folder for folder in sys.path[1:] if folder]
    return [[folder, _stamp(folder)] for folder in folders] + [["", sys.version]]


def _stamp(path: str) -> int:
    try:
        return os.stat(path).st_mtime_ns
    except OSError:
        return 0
