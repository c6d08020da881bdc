"""The folders that fixbook keeps for a user: cache, data and settings."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import NamedTuple

from fixbook.errors import IndexFolderError, what_to_do


class Folders(NamedTuple):
    """A user's folders. They need not exist; what is written to them makes them."""

    cache: Path
    """What can be made anew."""
    data: Path
    """The user's own book."""
    config: Path
    """What the user decided: trusted plugins."""


def user_folders() -> Folders:
    """Give the folders that the system keeps for this user (XDG on Linux)."""
    import platformdirs

    return Folders(
        cache=Path(platformdirs.user_cache_dir("fixbook", appauthor=False)),
        data=Path(platformdirs.user_data_dir("fixbook", appauthor=False)),
        config=Path(platformdirs.user_config_dir("fixbook", appauthor=False)),
    )


def cache_for(cache: Path, own: Path | None, starter: Path | None) -> Path:
    """Give the cache folder of one book, by the real places of its files; made private."""
    places = "\0".join(os.path.realpath(one) if one else "" for one in (own, starter))
    folder = cache / "books" / hashlib.sha256(os.fsencode(places)).hexdigest()[:24]
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise IndexFolderError(
            f"the cache folder {folder} cannot be made: {error.strerror or error}",
            input="cache folder",
            read=str(folder),
            hint=what_to_do(error, "set XDG_CACHE_HOME to a folder of yours that can be written"),
        ) from error
    return folder
