"""What must outlive the screen: drafts of panels, what else was typed, and words searched before.

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

from fixbook.errors import IndexFolderError, disk_is_full, what_to_do
from fixbook.store.writing import write_text

FOLDER, DRAFT, TYPED, RECENT = "screens", "draft.json", "typed.json", "searched.json"
MOST_SCREENS = 100


class Drafts:
    """The drafts of one running screen."""

    def __init__(self, data: Path, book: str) -> None:
        digest = hashlib.sha256(book.encode("utf-8", "surrogateescape")).hexdigest()[:24]
        self._folder = data / FOLDER / digest
        self._own: Path | None = None
        self._lock = ExitStack()
        self._saved: dict[str, str] = {}
        self._typed = ""
        self._recent: tuple[str, ...] = ()
        self._why = f"{self._folder} cannot be used"

    def open(self) -> tuple[dict[str, str], tuple[str, ...], str]:
        """Give what a dead screen left: drafts by panel, words searched before, what was typed."""
        self._begin(left=True)
        if self._own is not None:
            self._saved, self._typed = _read(self._own / DRAFT), _text(self._own / TYPED)
        self._recent = tuple(text for _, text in sorted(_read(self._folder / RECENT).items()))
        return dict(self._saved), self._recent, self._typed

    def save(self, drafts: Mapping[str, str]) -> str:
        """Keep these drafts; an empty one is let go. Gives why it failed, in words, else nothing.

        A draft that is not named stays: its plugin may be back at the next start.
        """
        wanted = {name: text for name, text in {**self._saved, **drafts}.items() if text}
        if wanted == self._saved:
            return ""
        problem = self._write(DRAFT, json.dumps(wanted))
        self._saved = self._saved if problem else wanted
        return problem

    def save_typed(self, typed: str) -> str:
        """Keep what was typed outside the panels. Gives why it failed, in words, else nothing."""
        if typed == self._typed:
            return ""
        problem = self._write(TYPED, typed)
        self._typed = self._typed if problem else typed
        return problem

    def _write(self, name: str, text: str) -> str:
        if self._own is None:  # there may be room by now
            self._begin(left=False)
        if self._own is None:
            return f"what you type cannot be kept: {self._why}"
        try:
            write_text(self._own / name, text, private=True)
        except OSError as error:
            do = what_to_do(error, "look at the folder's permissions")
            return f"what you type cannot be kept in {self._own}: {error.strerror}; {do}"
        return ""

    def save_recent(self, recent: tuple[str, ...]) -> None:
        """Keep the words that were searched; losing them costs nothing but memory."""
        if recent == self._recent:
            return
        self._recent = recent
        kept = {f"{at:03}": words for at, words in enumerate(recent)}
        with contextlib.suppress(OSError):
            write_text(self._folder / RECENT, json.dumps(kept), private=True)

    def close(self) -> None:
        """Let the folder go; what is in it waits for the next screen."""
        self._lock.close()
        self._own = None

    def _begin(self, *, left: bool) -> None:
        """Take a folder; with `left` one that a dead screen left a draft in, if there is one."""
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._own = self._claim(left=left)
        except OSError as error:
            do = what_to_do(error, "look at the permissions there")
            self._why = f"{self._folder} cannot be used: {error.strerror}; {do}"
        except IndexFolderError as error:
            self._why = f"{error.why}; {what_to_do(error, error.hint)}"

    def _claim(self, *, left: bool) -> Path | None:
        """Lock a folder that no running screen holds; one with a panel's draft before others."""
        folders = [self._folder / str(number) for number in range(1, MOST_SCREENS + 1)]
        ages = {one: age for one in folders if (age := _age(one)) is not None}
        newest = sorted(ages, key=lambda one: ages[one])
        others = [one for one in folders if one not in ages]
        for folder in (*newest, *others) if left else others:
            folder.mkdir(mode=0o700, exist_ok=True)
            if self._locks(folder):
                return folder
        return None

    def _locks(self, folder: Path) -> bool:
        from fixbook.search.folder import writer_lock

        try:
            with ExitStack() as stack:
                held = stack.enter_context(writer_lock(folder, 0.0))
                if held:
                    self._lock = stack.pop_all()
                return held
        except IndexFolderError as error:
            if disk_is_full(error):  # none of the others can be locked either
                raise
            return False


def _age(folder: Path) -> tuple[bool, float] | None:
    """Say what a dead screen left in a folder: whether words alone, and how old; None: nothing."""
    for name, left in ((DRAFT, bool(_read(folder / DRAFT))), (TYPED, bool(_text(folder / TYPED)))):
        if left:
            with contextlib.suppress(OSError):
                return name == TYPED, -(folder / name).stat().st_mtime
    return None


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError):
        return ""


def _read(path: Path) -> dict[str, str]:
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    pairs = data.items() if isinstance(data, dict) else ()
    return {str(name): text for name, text in pairs if isinstance(text, str)}
