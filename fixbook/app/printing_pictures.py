"""Pictures of a book as `data:` addresses: nothing outside the book's own folder is read.

A drawing from a file can hold scripts and addresses. As the source of an image a browser runs
none of them and fetches nothing, so a picture is never put into a page in any other way.
"""

from __future__ import annotations

import base64
import os
from collections.abc import Iterable
from pathlib import Path
from urllib.parse import unquote

from fixbook.store.folder import PICTURES

KINDS = {
    ".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg",
    ".gif": "image/gif", ".webp": "image/webp",
}  # fmt: skip
LARGEST = 4 * 1024 * 1024
"""Bytes; a larger picture is named and left out."""


class Pictures:
    """The pictures of the folders of entries, read once each."""

    def __init__(self, roots: Iterable[Path]) -> None:
        self._folders = [Path(os.path.realpath(root / PICTURES)) for root in roots]
        self._known: dict[str, str] = {}

    def address(self, target: str) -> str:
        """Give the picture that a write-up names; empty where the book has none of that name.

        Write-ups lie one folder deep, so they name a picture as `../pictures/NAME`.
        """
        name = unquote(target).replace("\\", "/").removeprefix("../").removeprefix("./")
        if not name.startswith(f"{PICTURES}/") or "\0" in name:
            return ""
        inside = name.removeprefix(f"{PICTURES}/")
        if inside not in self._known:
            found = (_read(folder, inside) for folder in self._folders)
            self._known[inside] = next((one for one in found if one), "")
        return self._known[inside]


def _read(folder: Path, name: str) -> str:
    kind = KINDS.get(os.path.splitext(name)[1].lower())
    try:
        path = Path(os.path.realpath(folder / name))
        if kind is None or folder not in path.parents or not path.is_file():
            return ""
        if path.stat().st_size > LARGEST:
            return ""
        data = path.read_bytes()
    except (OSError, ValueError):
        return ""
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"
