"""Write-ups in the making, kept in the book's `drafts/` until they are filed.

A draft has a key, the id it is to have or a stand-in. `KEY.json` holds the answers given so far
and what the file was before it was opened; `KEY.md` holds the text once there is one. Each is
written whole, flushed and renamed, after every answer: a kill loses at most the line being typed.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from fixbook.errors import BookError, what_to_do
from fixbook.store.folder import DRAFTS
from fixbook.store.snapshot import read_bytes, take_snapshot
from fixbook.store.writing import clear_partial, write_text

STALE_S = 3600.0
"""Half-written files older than this are nobody's."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What stands beside a draft's text."""

    answers: Mapping[str, object] = field(default_factory=dict)
    path: str = ""
    """The write-up it changes, by its path under `entries/`; empty: a new one."""
    base: str = ""
    """The digest of that write-up as it was opened; empty: there was none."""


class Drafts:
    """The drafts of one book. Methods raise BookError, with words, where the disk cannot."""

    def __init__(self, book: Path) -> None:
        self.folder = book / DRAFTS

    def names(self) -> list[str]:
        """Give the keys of all drafts, the newest first."""
        found: dict[str, float] = {}
        for path in self.folder.glob("*"):
            if path.suffix in (".md", ".json") and not path.name.startswith("."):
                with contextlib.suppress(OSError):
                    found[path.stem] = max(found.get(path.stem, 0.0), path.stat().st_mtime)
        return sorted(found, key=lambda key: (-found[key], key))

    def path(self, key: str) -> Path:
        """Give the file that holds a draft's text."""
        return self.folder / f"{key}.md"

    def text(self, key: str) -> str | None:
        """Give a draft's text; None where it has none yet."""
        snapshot = take_snapshot(self.path(key))
        return None if snapshot.data is None else snapshot.text

    def kept(self, key: str) -> Kept:
        """Give what stands beside a draft's text; a damaged file counts as an empty one."""
        data = read_bytes(self.folder / f"{key}.json")
        try:
            found = json.loads(data) if data else {}
            answers, path, base = found["answers"], str(found["path"]), str(found["base"])
        except (ValueError, KeyError, TypeError, RecursionError):
            return Kept()
        return Kept(answers if isinstance(answers, dict) else {}, path, base)

    def keep(self, key: str, kept: Kept) -> None:
        """Write what stands beside a draft's text."""
        data = {"answers": dict(kept.answers), "path": kept.path, "base": kept.base}
        self._write(self.folder / f"{key}.json", json.dumps(data, ensure_ascii=False, indent=1))

    def keep_text(self, key: str, text: str) -> None:
        """Write a draft's text."""
        self._write(self.path(key), text)

    def rename(self, old: str, new: str) -> None:
        """Give a draft another key."""
        try:
            for suffix in (".json", ".md"):
                if (self.folder / f"{old}{suffix}").exists():
                    (self.folder / f"{old}{suffix}").replace(self.folder / f"{new}{suffix}")
        except OSError as error:
            raise self._failed(self.folder, error) from error

    def remove(self, key: str) -> None:
        """Take a draft away: it was filed, or is not wanted."""
        for suffix in (".md", ".json"):
            with contextlib.suppress(OSError):
                (self.folder / f"{key}{suffix}").unlink()

    def _write(self, path: Path, text: str) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            clear_partial(self.folder, older_than_s=STALE_S, now=time.time())
            write_text(path, text)
        except OSError as error:
            raise self._failed(path, error) from error

    def _failed(self, path: Path, error: OSError) -> BookError:
        return BookError(
            f"the draft {path} cannot be kept: {error.strerror or error}",
            input="drafts",
            read=str(path),
            hint=what_to_do(error, "look at the folder's permissions"),
        )


def digest(data: bytes | None) -> str:
    """Give the digest of a file's bytes; empty where there is no file."""
    return "" if data is None else hashlib.sha256(data).hexdigest()
