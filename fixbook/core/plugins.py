"""The values that plugins give back from their hooks."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from fixbook.core.bench import Bench
from fixbook.core.entry import Entry, Part
from fixbook.core.links import Link, LinkTarget
from fixbook.core.sheet import Block


class Command(NamedTuple):
    """A command for the command line: `fixbook NAME …`."""

    name: str
    summary: str
    """One line for `fixbook --help`."""
    configure: Callable[[argparse.ArgumentParser], None]
    """Adds the command's arguments."""
    run: Callable[[Bench, argparse.Namespace], int]
    """Does the work; gives the exit status. FixbookError is shown to the user."""


class LinkScheme(NamedTuple):
    """What the links of one scheme point at."""

    scheme: str
    resolve: Callable[[Bench, Link], LinkTarget]
    """Gives what a link points at; FixbookError where it points at nothing."""


class IndexFields(NamedTuple):
    """What a plugin adds to an entry in the index."""

    facets: Mapping[str, tuple[str, ...]] = {}
    """Values to narrow and count by, by the name of the facet."""
    text: str = ""
    """Words that find the entry."""


class ExtraDocument(NamedTuple):
    """A document of a plugin's own in the index, such as a past job."""

    kind: str
    """What it is; `find --kind` asks for it. It is in no result unless it is asked for."""
    title: str
    unit: str = ""
    section: str = ""
    state: str = ""
    text: Mapping[str, str] = {}
    """Searchable text by part: title, signs, body."""
    facets: Mapping[str, tuple[str, ...]] = {}


class ExtraDocuments(NamedTuple):
    """A plugin's documents: what there is, and how to make one when it has changed."""

    kind: str
    stamps: Callable[[], Mapping[str, str]]
    """Each document's id with a text that changes when the document does."""
    document: Callable[[str], ExtraDocument | None]
    """Makes the document of an id; None where it went away meanwhile."""
    watch: tuple[str, ...] = ()
    """Files to look at: while none has changed, `stamps` is not asked and no plugin imported."""
    every_s: float = 0.0
    """Where others write on machines of their own, so that no file tells: `stamps` is asked again
    after this time, by a process beside the one that searches. 0 for never."""


class Counts(NamedTuple):
    """What a shop has counted about one unit's faults."""

    faults: Mapping[str, int] = {}
    """How many jobs had each fault, by entry id."""
    answers: Mapping[str, Mapping[str, Mapping[str, int]]] = {}
    """By entry id, sign and answer: how many jobs of that fault gave that answer."""
    unlisted: int = 0
    """Jobs whose fault was none of the book's."""


def add_counts(several: Iterable[Counts]) -> Counts:
    """Add up what several plugins have counted."""
    faults: dict[str, int] = {}
    answers: dict[str, dict[str, dict[str, int]]] = {}
    unlisted = 0
    for one in several:
        unlisted += one.unlisted
        for fault, count in one.faults.items():
            faults[fault] = faults.get(fault, 0) + count
        for fault, signs in one.answers.items():
            for sign, counted in signs.items():
                into = answers.setdefault(fault, {}).setdefault(sign, {})
                for answer, count in counted.items():
                    into[answer] = into.get(answer, 0) + count
    return Counts(faults, answers, unlisted)


class UnreadableRow(NamedTuple):
    """A row of a shop's history that cannot be read; the rows after it still can."""

    text: str
    """What stands there, as far as it can be shown."""
    why: str


class Measurement(NamedTuple):
    """What was read in a job, as texts with their units; empty: not taken."""

    name: str
    before: str = ""
    after: str = ""


class JobFacts(NamedTuple):
    """What a past job knows that a write-up can begin with. An empty value was not recorded."""

    unit: str = ""
    model: str = ""
    complaint: str = ""
    """In the customer's words."""
    signs: Mapping[str, str] = {}
    """Each sign that was looked for, with its answer."""
    faults: tuple[str, ...] = ()
    """Ids of the entries it is linked to."""
    work: str = ""
    """What was done."""
    parts: tuple[Part, ...] = ()
    measured: tuple[Measurement, ...] = ()
    minutes: int | None = None
    proved: str = ""
    """How the repair was proved: the safety test, the time on test."""


class JobSource(NamedTuple):
    """A way to read a shop's existing history."""

    name: str
    endings: tuple[str, ...]
    """File name endings that it reads, in lower case: `.csv`. None: it reads an address."""
    rows: Callable[[str, Mapping[str, str]], Iterable[Mapping[str, str] | UnreadableRow]]
    """Gives the rows of a file or address, as texts by column; the mapping holds options.

    An empty row is an empty mapping: it is passed over and counted. FixbookError where nothing
    can be read at all.
    """
    first_row: int = 1
    """The number of the first row as a person counts: 2 below a row of column names."""


class BackupFile(NamedTuple):
    """A file that belongs in a backup."""

    name: str
    """Its path in the backup, with `/`."""
    content: Callable[[], bytes]
    """Gives its bytes, consistent at the moment of the call."""


class Finding(NamedTuple):
    """A fault that a proof rule found in a write-up."""

    problem: str
    do: str
    field: str = ""
    """The front-matter field it is about; empty: the body."""
    line: int = 0
    """The line of the body, from 1; 0 where it is about a field or the whole."""
    column: int = 1


class ProofRule(NamedTuple):
    """A check on write-ups."""

    name: str
    """Lower case, with hyphens; shown with each finding."""
    check: Callable[[Bench, Entry], Iterable[Finding]]


@dataclass(frozen=True, slots=True)
class PanelField:
    """A line of a panel that is typed into."""

    name: str
    label: str
    text: str = ""
    """What stands in it."""
    about: str = ""
    """What is wanted, in a few words, while it is the current one."""
    enter: str = ""
    """The action that Enter does in it; empty: on to the next line."""


class PanelAction(NamedTuple):
    """Something a panel can do, chosen by the user."""

    name: str
    label: str


class PanelWork(NamedTuple):
    """What a panel wants done that takes time or touches files."""

    name: str
    values: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class PanelState:
    """A panel of the bench screen as it stands: what it shows, and what it waits for."""

    title: str = ""
    blocks: tuple[Block, ...] = ()
    """Shown under its lines and actions."""
    fields: tuple[PanelField, ...] = ()
    actions: tuple[PanelAction, ...] = ()
    work: PanelWork | None = None
    """Done once beside the screen; the answer comes as the event `done` or `failed`."""
    memory: Mapping[str, str] = field(default_factory=dict)
    """The plugin's own; nobody else reads it."""
    draft: str = ""
    """Kept on the disk as it is typed, and given back at the next start; empty: nothing to keep."""
    badge: str = ""
    """A few words that stay in sight wherever the user is: `job 2041 is open`."""


class PanelEvent(NamedTuple):
    """What happens to a panel.

    `begun` once at the start, with a draft left behind in `text`; `opened` when the user turns
    to it, with the words that are searched in `text`, and again once their sheet is laid out;
    `typed`, the line `name` has `text` now; `chosen`, the action `name`, with the words that are
    searched; `offered`, an answer of a calculator in `text`; `read`, a reading of the target `name`
    in `text`; `done` and `failed`, for the work `name`.
    """

    kind: str
    name: str = ""
    text: str = ""
    entry: Entry | None = None
    """The write-up on the screen, if there is one."""
    when: str = ""
    """The minute it happened, as `2026-11-25T14:30`."""
    answer: Any = None
    """What the work gave."""


class ScreenPanel(NamedTuple):
    """A panel of the bench screen: a pure function of a state and an event, and its work."""

    name: str
    summary: str
    begin: PanelState
    step: Callable[[PanelState, PanelEvent], PanelState]
    """Gives the state after an event. It looks at nothing but its arguments, and is quick."""
    work: Callable[[Bench, PanelWork], object] | None = None
    """Does what the state asks for, outside the screen's own thread; FixbookError fails it."""
    takes: tuple[str, ...] = ()
    """Of `offered` and `read`, what the panel takes from the other parts of the screen."""
