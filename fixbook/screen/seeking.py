"""Searching in a lane of its own, in an index that is only read; and keeping that index up to date.

The watcher's lane compares the book with the index and hands over a reader whenever the index was
made anew. A search never waits for that: it answers from the index as it was.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from fixbook.errors import FixbookError
from fixbook.screen.requests import Found, Opened, Search

if TYPE_CHECKING:
    from fixbook.app.indexing import BookIndex
    from fixbook.app.library import Library
    from fixbook.core.vocabulary import Vocabulary

LOOK_S = 2.0
"""How often the folder is compared with the index …"""
SHARE = 10.0
"""… but no more than this many times as seldom as one comparison takes."""


class Seeker:
    """Answers searches from the reader that was handed over last."""

    def __init__(self, mend: Callable[[BookIndex], None]) -> None:
        self._mend = mend
        self._reader: BookIndex | None = None
        self._vocabulary: Vocabulary | None = None
        self._kinds: tuple[str, ...] = ()

    def take(self, reader: BookIndex, vocabulary: Vocabulary, kinds: tuple[str, ...]) -> None:
        """Answer from this reader from now on."""
        self._reader, self._vocabulary, self._kinds = reader, vocabulary, kinds

    def search(self, request: Search) -> Found | None:
        """Answer a search; None while there is no index to answer from."""
        from fixbook.app.finding import filters_for
        from fixbook.core.query import Findings, Request
        from fixbook.search import IndexDamagedError

        reader = self._reader
        if reader is None:
            return None
        wanted: dict[str, list[str]] = {}
        for facet, value in request.narrowed:
            wanted.setdefault(facet, []).append(value)
        typing = bool(request.words) and not request.words[-1].isspace()
        try:
            filters = filters_for(self._vocabulary, wanted, self._kinds)
            asked = Request(request.words, filters, request.limit, typing, snippets=False)
            return Found(request, reader.peek(asked))
        except IndexDamagedError:
            self._reader = None
            self._mend(reader)  # and the search is asked again once that is done
            return None
        except FixbookError as error:
            return Found(request, Findings(request.words, ""), error.why)


class Watcher:
    """Keeps the index in step with the book's files."""

    def __init__(
        self,
        library: Library,
        hand_over: Callable[[BookIndex, Vocabulary, tuple[str, ...]], None],
        tell: Callable[[Opened], None],
        progress: Callable[[str, int, int], None],
    ) -> None:
        self._library = library
        self._hand_over = hand_over
        self._tell = tell
        self._progress = progress
        self._index: BookIndex | None = None
        self._reader: BookIndex | None = None
        self._words = ""
        self._figures: dict[str, str] = {}
        self.took_s = 0.0
        self._said = ""

    def pause_s(self) -> float:
        """Give how long to wait before the next comparison."""
        return max(LOOK_S, SHARE * self.took_s)

    def figures(self, ids: tuple[str, ...]) -> dict[str, str]:
        """Give the plugins' line of figures for each of these entries that has one."""
        new = [id for id in ids if id not in self._figures]
        if new and self._index is not None:  # what was asked for once holds until something changes
            self._figures |= self._index.summaries(new)
        return {id: line for id in ids if (line := self._figures.get(id))}

    def look(self) -> None:
        """Compare the folder with the index, read what changed, and tell if anything did."""
        began = time.monotonic()
        try:
            changed = self._look()
            said = self._index.unkept if self._index else ""
            if said and said != self._said:
                self._tell(Opened(notes=(said,)))
            self._said = said
        except FixbookError as error:
            changed = False
            if error.why != self._said:  # once, not every two seconds
                self._said = error.why
                self._tell(Opened(notes=(error.why,)))
        if not changed:  # what reading took says nothing about the next comparison
            self.took_s = time.monotonic() - began

    def mend(self, damaged: BookIndex) -> None:
        """Make the index anew where a reader found it damaged, and hand the reader over again."""
        self.look()
        if self._reader is damaged and self._index is not None:  # else there is a newer one
            damaged.refresh()
            self._hand_over(damaged, self._library.vocabulary, self._index.extra_kinds)
            self._tell(self._opened(first=False))

    def _look(self) -> bool:
        from fixbook.app.indexing import BookIndex

        library = self._library
        first = self._index is None
        library.look_again()
        anew = library.words_stamp != self._words
        if anew or self._index is None:
            self._words = library.words_stamp
            self._index = BookIndex(library, progress=self._progress)
        done = self._index.refresh()
        if first or anew or done.rebuilt:
            self._reader = BookIndex(library, fast=True)
            self._hand_over(self._reader, library.vocabulary, self._index.extra_kinds)
        changed = bool(first or anew or done.read or done.removed)
        if changed:
            self._figures.clear()
            self._tell(self._opened(first))
        return changed

    def _opened(self, first: bool) -> Opened:
        vocabulary, notes = self._library.vocabulary, []
        faulty, _ = self._index.faults() if self._index else (0, 0)
        if faulty and first:
            some = f"{faulty} write-up{'s have' if faulty > 1 else ' has'} faults"
            notes.append(f"{some}: 'fixbook proof' says which")
        return Opened(
            units={unit.id: unit.name for unit in vocabulary.units.values()},
            asks={sign.id: sign.ask for sign in vocabulary.signs.values()},
            kinds=self._index.extra_kinds if self._index else (),
            notes=tuple(notes),
        )
