"""The values that plugins give back from their hooks."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from fixbook.core.bench import Bench
from fixbook.core.entry import Entry
from fixbook.core.links import Link, LinkTarget


@dataclass(frozen=True, slots=True)
class Command:
    """A command for the command line: `fixbook NAME …`."""

    name: str
    summary: str
    """One line for `fixbook --help`."""
    configure: Callable[[argparse.ArgumentParser], None]
    """Adds the command's arguments."""
    run: Callable[[Bench, argparse.Namespace], int]
    """Does the work; gives the exit status. FixbookError is shown to the user."""


@dataclass(frozen=True, slots=True)
class LinkScheme:
    """What the links of one scheme point at."""

    scheme: str
    resolve: Callable[[Bench, Link], LinkTarget]
    """Gives what a link points at; FixbookError where it points at nothing."""


@dataclass(frozen=True, slots=True)
class IndexFields:
    """What a plugin adds to an entry in the index."""

    facets: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Values to narrow and count by, by the name of the facet."""
    text: str = ""
    """Words that find the entry."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A fault that a proof rule found in a write-up."""

    problem: str
    do: str
    field: str = ""
    """The front-matter field it is about; empty: the body."""
    line: int = 0
    """The line of the body, from 1; 0 where it is about a field or the whole."""
    column: int = 1


@dataclass(frozen=True, slots=True)
class ProofRule:
    """A check on write-ups."""

    name: str
    """Lower case, with hyphens; shown with each finding."""
    check: Callable[[Bench, Entry], Iterable[Finding]]
