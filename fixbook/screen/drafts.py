"""What must outlive the screen: drafts of panels, and the words that were searched.

Each running screen holds a numbered folder of its own in the user's data folder, locked while it
runs. What a dead screen left lies in a folder that nobody locks: the next screen takes that
folder, and what is in it, over.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path

from fixbook.store.writing import write_text

FOLDER, DRAFT, RECENT = "screens", "draft.json", "searched.json"
MOST_SCREENS = 100


class Drafts:
    """The drafts of one running screen."""

    def __init__(self, data: Path, book: str) -> None:
        digest = hashlib.sha256(book.encode("utf-8", "surrogateescape")).hexdigest()[:24]
        self._folder = data / FOLDER / digest
        self._own: Path | None = None
        self._lock = ExitStack()
        self._saved: dict[str, str] = {}

    def open(self) -> tuple[dict[str, str], tuple[str, ...]]:
        """Give the drafts that a dead screen left, by panel, and the words searched before."""
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._own = self._claim()
        if self._own is not None:
            self._saved = _read(self._own / DRAFT)
        recent = _read(self._folder / RECENT)
        return dict(self._saved), tuple(text for _, text in sorted(recent.items()))

    def save(self, drafts: Mapping[str, str]) -> str:
        """Keep these drafts; an empty one is let go. Gives why it failed, in words, else nothing.

        A draft that is not named stays: its plugin may be back at the next start.
        """
        wanted = {name: text for name, text in {**self._saved, **drafts}.items() if text}
        if wanted == self._saved:
            return ""
        if self._own is None:
            return f"what you type cannot be kept: {self._folder} cannot be used"
        try:
            write_text(self._own / DRAFT, json.dumps(wanted), private=True)
        except OSError as error:
            return f"what you type cannot be kept in {self._own}: {error.strerror}"
        self._saved = wanted
        return ""

    def save_recent(self, recent: tuple[str, ...]) -> None:
        """Keep the words that were searched; losing them costs nothing but memory."""
        kept = {f"{at:03}": words for at, words in enumerate(recent)}
        with contextlib.suppress(OSError):
            write_text(self._folder / RECENT, json.dumps(kept), private=True)

    def close(self) -> None:
        """Let the folder go; what is in it waits for the next screen."""
        self._lock.close()
        self._own = None

    def _claim(self) -> Path | None:
        """Lock a folder that no running screen holds: one with a draft in it, if there is one."""
        folders = [self._folder / str(number) for number in range(1, MOST_SCREENS + 1)]
        with_draft = [one for one in folders if _read(one / DRAFT)]
        newest = sorted(with_draft, key=lambda one: -(one / DRAFT).stat().st_mtime)
        for folder in (*newest, *(one for one in folders if one not in with_draft)):
            folder.mkdir(mode=0o700, exist_ok=True)
            if self._locks(folder):
                return folder
        return None

    def _locks(self, folder: Path) -> bool:
        from fixbook.errors import IndexFolderError
        from fixbook.search.folder import writer_lock

        try:
            with ExitStack() as stack:
                held = stack.enter_context(writer_lock(folder, 0.0))
                if held:
                    self._lock = stack.pop_all()
                return held
        except IndexFolderError:  # it cannot be locked at all
            return False


def _read(path: Path) -> dict[str, str]:
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    pairs = data.items() if isinstance(data, dict) else ()
    return {str(name): text for name, text in pairs if isinstance(text, str)}
