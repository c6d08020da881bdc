"""What goes into a search and what comes out of it, as plain values.

`Document` is what is indexed, `Words` what the vocabulary adds, `Request` what is asked and
`Findings` the answer. Nothing here knows how any of it is stored.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

NO_VALUE = ""
"""In a filter: documents that have no value at all of that field."""


class Document(NamedTuple):
    """One thing to find: a write-up, a technique, a past job."""

    key: str
    """Unique over the whole index; an entry's id, or a plugin's own name for it."""
    source: str
    """The file or record it was read from; one source may give several documents."""
    parts: Mapping[str, str] = {}
    """Text to search by the name of its part: title, signs, lay, body …"""
    facets: Mapping[str, tuple[str, ...]] = {}
    """Values to filter and count by the name of the facet."""
    shown: Mapping[str, str] = {}
    """Given back untouched with a hit: id, kind, title, unit …"""


class Words(NamedTuple):
    """What the vocabulary says about words; any of them may be a phrase."""

    groups: tuple[tuple[str, ...], ...] = ()
    """Each group's members find each other."""
    one_way: Mapping[str, tuple[str, ...]] = {}
    """The key finds the values, not the other way round."""
    elsewhere: tuple[str, ...] = ()
    """A question with one of these is about something that the book does not treat."""


class Filter(NamedTuple):
    """Only documents with one of these values in this facet."""

    field: str
    """Name of the facet."""
    any_of: frozenset[str]
    """One of them is enough; `NO_VALUE` takes documents without any value."""


class Request(NamedTuple):
    """A search as asked."""

    words: str = ""
    """As typed; empty lists everything that passes the filters."""
    filters: tuple[Filter, ...] = ()
    """All of them must pass."""
    limit: int = 10
    """The most hits to give back; the counts are of the whole result in any case."""
    typing: bool = False
    """Whether the last word may still be unfinished, and is matched as a beginning."""
    explain: bool = False
    """Whether each hit says what its score is made of."""
    snippets: bool = True
    """Whether each hit has its best place; without, only those in which no word was sought."""


class Gain(NamedTuple):
    """What one word or phrase of a request adds to a hit's score: `worth * share`."""

    text: str
    """The word; with what stands for it, where that is what was found."""
    parts: tuple[str, ...]
    """The parts of the document that have it."""
    worth: float
    """The most that it can add: the rarer the word, the more."""
    share: float
    """How much of that the hit gets, from 0 to 1."""


class Hit(NamedTuple):
    """One document found."""

    key: str
    """The document's key."""
    shown: Mapping[str, str]
    """The document's `shown`."""
    score: float
    """Higher is better; 0 where nothing was ranked."""
    why: tuple[str, ...] = ()
    """Which words matched in which part: `hum in signs`, `drone -> hum in title`."""
    snippet: str = ""
    """Plain text around the best place, not cleaned for any terminal."""
    gains: tuple[Gain, ...] = ()
    """The score's parts, where they were asked for; they add up to it."""


class Findings(NamedTuple):
    """The answer to a request."""

    query: str
    """The words as they were typed."""
    searched: str
    """The words that were really searched, after mending and leaving out."""
    mended: Mapping[str, str] = {}
    """Words that nothing has, and the words taken in their place."""
    weak: bool = False
    """Whether nothing really fits."""
    total: int = 0
    """How many documents match."""
    hits: tuple[Hit, ...] = ()
    """The best of them, best first."""
    facets: Mapping[str, tuple[tuple[str, int], ...]] = {}
    """Exact counts over the whole result; most frequent first, then by name."""
    notes: tuple[str, ...] = ()
    """What the reader of the answer should know about how it came about."""
