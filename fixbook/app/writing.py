"""Writing up: a draft is begun, kept after every answer, laid out as text, and filed in the book."""

from __future__ import annotations

import datetime
import os
import re
import time
from dataclasses import dataclass
from pathlib import Path

from fixbook.app.library import Filed, Library, Shelf
from fixbook.app.mending import text_diff
from fixbook.app.proofing import proof_text
from fixbook.core.draft import Draft, draft_from_json, draft_text
from fixbook.core.entry import Entry
from fixbook.core.needed import needed_faults
from fixbook.core.problems import Problem
from fixbook.core.proof_marks import HAZARDS_GAP, both_texts
from fixbook.core.schema import id_fault
from fixbook.errors import BookError, QueryError, what_to_do
from fixbook.store.document import read_document
from fixbook.store.drafts import STALE_S, Drafts, Kept, digest
from fixbook.store.folder import ENTRIES
from fixbook.store.snapshot import ChangedError, Snapshot, read_bytes, take_snapshot
from fixbook.store.writing import clear_partial

HOLDING = (
    "conflict", HAZARDS_GAP, "hazard-implied", "unknown-hazard", "file-name", "id-changed",
)  # fmt: skip
"""Faults that keep a draft out of the book: a caution or the file itself would be wrong."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What became of a draft."""

    key: str
    file: str
    """Where the text is: in the book where it was filed, else among the drafts."""
    filed: bool
    problems: tuple[Problem, ...]
    entry: Entry | None
    holding: tuple[Problem, ...] = ()
    """Those of the problems that keep it out of the book."""


class Desk:
    """Where write-ups of one book are written."""

    def __init__(self, library: Library) -> None:
        if library.own is None:
            raise BookError(
                "there is no book of your own to write in",
                input="--book",
                hint="make one with 'fixbook book new DIR', then name it with --book DIR",
            )
        self.library = library
        self.book: Path = library.own
        self.drafts = Drafts(library.own)

    @property
    def shelf(self) -> Shelf:
        """The shop's own write-ups."""
        return self.library.shelves[0]

    def new_key(self) -> str:
        """Give a stand-in for an id that is not known yet."""
        stamp = datetime.datetime.now().strftime("%Y%m%d-%H%M%S")
        return f"new-{stamp}-{os.getpid()}"

    def is_stand_in(self, key: str) -> bool:
        """Say whether a key was made by `new_key`."""
        return re.fullmatch(r"new-\d{8}-\d{6}-\d+", key, re.ASCII) is not None

    def keep_answers(self, key: str, draft: Draft) -> None:
        """Keep the answers given so far."""
        self.drafts.keep(key, Kept(draft.to_json()))

    def lay_out(self, key: str, draft: Draft, id: str) -> str:
        """Turn the answers into the draft's text, under its id; the key it has from now on."""
        if fault := self.id_fault(id):
            raise QueryError(fault, input="ID", read=id)
        if key != id and id in self.drafts.names():
            raise QueryError(
                f"there is a draft {id!r} already", input="ID", read=id,
                hint=f"'fixbook write {id}' goes on with it",
            )  # fmt: skip
        named = draft.with_field("id", id)
        self.drafts.keep(key, Kept(named.to_json()))
        self.drafts.keep_text(key, draft_text(named, today()))
        if key != id:
            self.drafts.rename(key, id)
        return id

    def id_fault(self, id: str) -> str:
        """Say why a new write-up cannot have an id; empty where it can."""
        if fault := id_fault(id):
            return f"{fault}; give it another"
        if found := self.library.find(id):
            return f"{id!r} is the id of {found.file}; give it another, or open that one"
        return ""

    def open_entry(self, id: str) -> str:
        """Make a draft of a write-up in the book, to be changed; its key. A draft goes on as it is.

        UnknownEntryError where there is none; BookError for one of the starter book.
        """
        if id in self.drafts.names() and self.drafts.text(id) is not None:
            return id
        filed = self.own_entry(id)
        before = take_snapshot(filed.shelf.root / filed.path)
        key = filed.entry.id
        self.drafts.keep(key, Kept({}, filed.path, digest(before.data)))
        self.drafts.keep_text(key, before.text)
        return key

    def own_entry(self, id: str) -> Filed:
        """Give a write-up of the shop's own."""
        from fixbook.app.bench import unknown_entry

        filed = self.library.find(id)
        if filed is None:
            raise unknown_entry(self.library, id)
        if filed.shelf.name != self.shelf.name:
            raise BookError(
                f"{id} is a write-up of the starter book, which stays as it is",
                input="ID",
                read=id,
                hint=f"'fixbook write --like {id} NEW-ID' begins your own from it",
            )
        return filed

    def catch_up(self, key: str) -> list[str]:
        """Take in what changed on the disk since a draft was opened: the difference, line by line.

        Where something did, the draft holds both from now on, with marks where they differ.
        """
        kept = self.drafts.kept(key)
        mine = self.drafts.text(key)
        if not kept.path or mine is None:
            return []
        now = take_snapshot(self.shelf.root / kept.path)
        if digest(now.data) == kept.base or now.data is None or now.text == mine:
            return []
        self.drafts.keep_text(key, both_texts(now.text, mine))
        self.drafts.keep(key, Kept(kept.answers, kept.path, digest(now.data)))
        return text_diff(now.text, mine, f"{self.shelf.shown}/{kept.path}, on disk", "yours")

    def difference(self, key: str) -> list[str]:
        """Give how a draft differs from the write-up that stands on the disk."""
        kept = self.drafts.kept(key)
        now = take_snapshot(self.shelf.root / kept.path) if kept.path else None
        mine = self.drafts.text(key) or ""
        return text_diff(now.text, mine, "on disk", "yours") if now else []

    def settle(self, key: str) -> Settled:
        """Proof a draft and file it in the book where it can be; ChangedError where the write-up
        that it changes is no longer what it was when it was opened.
        """
        text = self.drafts.text(key)
        if text is None:
            raise BookError(f"there is no draft {key!r} any more", input="ID", read=key)
        kept = self.drafts.kept(key)
        shown = f"{self.book_shown}/{self.drafts.folder.name}/{key}.md".removeprefix("./")
        entry, problems, holding = self.proofed(key, text, shown)
        if entry is None or holding:
            return Settled(key, shown, False, problems, entry, holding)
        path = self._file(key, kept, entry, text)
        file = f"{self.shelf.shown}/{path}"
        moved = tuple(one._replace(file=file) for one in problems)
        return Settled(key, file, True, moved, entry)

    def proofed(
        self, key: str, text: str, shown: str
    ) -> tuple[Entry | None, tuple[Problem, ...], tuple[Problem, ...]]:
        """Proof a draft's text: the entry, all faults, and those that keep it out of the book."""
        entry, problems = proof_text(self.library, self.shelf, text, shown)
        if entry is not None:
            problems = sorted([*problems, *self._moved(entry, self.drafts.kept(key), key, shown)])
        holding = [one for one in problems if one.rule in HOLDING]
        if entry is None:
            front = read_document(text, shown).front
            needed = needed_faults(front, problems) if front is not None else problems
            holding = sorted({*holding, *needed})
        return entry, tuple(problems), tuple(holding)

    def answers(self, key: str) -> Draft:
        """Give the answers that a draft was begun with, to be added to.

        QueryError where its text was changed by hand, or changes a write-up: an answer could then
        only be put in its place.
        """
        kept, text = self.drafts.kept(key), self.drafts.text(key)
        begun = draft_from_json(kept.answers)
        found = re.search(r"^revised: (\S+)$", text or "", re.MULTILINE)
        as_begun = text is None or text == draft_text(begun, found[1] if found else today())
        if kept.path or not as_begun:
            raise QueryError(
                f"the draft {key!r} has a text of its own, to which no answers can be added",
                input="ID", read=key,
                hint=f"'fixbook write {key}' opens it; 'fixbook write {key} --discard' throws it away",
            )  # fmt: skip
        return begun

    @property
    def book_shown(self) -> str:
        """How the book's folder is named in messages."""
        return self.shelf.shown.removesuffix(ENTRIES).rstrip("/") or "."

    def _moved(self, entry: Entry, kept: Kept, key: str, shown: str) -> list[Problem]:
        was = kept.path.rsplit("/", 1)[-1].removesuffix(".md")
        if kept.path and entry.id != was:
            what = f"the id was {was} and is {entry.id}"
            do = f"write {was} again, then 'fixbook write --rename {was} {entry.id}'"
            return [Problem(shown, 2, 1, "id-changed", what, do)]
        if not kept.path and entry.id != key and (fault := self.id_fault(entry.id)):
            return [Problem(shown, 2, 1, "file-name", fault, "mend the id")]
        return []

    def _file(self, key: str, kept: Kept, entry: Entry, text: str) -> str:
        """Put a draft's text in its place in the book; its path under `entries/`."""
        path = f"{entry.unit}/{entry.id}.md"
        old = self.shelf.root / (kept.path or path)
        before = read_bytes(old)
        if before == text.encode("utf-8") and digest(before) != kept.base:
            self.drafts.remove(key)  # a kill came between filing it and taking the draft away
            return kept.path or path
        if digest(before) != kept.base:
            raise ChangedError(
                f"{old} changed while you were writing",
                input=str(old),
                hint=f"yours is the draft {self.drafts.path(key)}; 'fixbook write {key}' "
                "puts both into one text, with marks where they differ",
            )
        target = self.shelf.root / path
        there = before if target == old else read_bytes(target)
        if target != old and there not in (None, text.encode("utf-8")):
            raise ChangedError(f"{target} is there already", input=str(target),
                               hint="give the draft another id, or take that file away")  # fmt: skip
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            clear_partial(target.parent, older_than_s=STALE_S, now=time.time())
            Snapshot(target, there).write(text)
            if target != old:
                old.unlink(missing_ok=True)  # the unit changed, and the file with it
        except OSError as error:
            raise BookError(
                f"{target} cannot be written: {error.strerror or error}",
                input=str(target),
                hint=f"the text is safe in {self.drafts.path(key)}; "
                + what_to_do(error, "look at the folder's permissions")
                + f", or go on with 'fixbook write {key}'",
            ) from error
        self.drafts.remove(key)
        return path


def today() -> str:
    """Give the date of now as front matter has it."""
    return datetime.date.today().isoformat()
