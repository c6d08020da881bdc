"""A write-up: what a file of the book says, as typed values.

The types cannot be made from text here; `fixbook.core.schema` does that and reports what is
wrong. A field left out of a file has the empty value of its type.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from fixbook.core.quantity import Kind

KINDS = ("fault", "technique")
SHARES = {"common": 4, "occasional": 2, "rare": 1}
"""How much of a unit's faults a fault is, as a weight among them."""
SKILLS = ("no-soldering", "through-hole", "surface-mount", "board-repair")
STATES = ("written", "bench-proven", "withdrawn")
HOW_OFTEN = {"always": 0.98, "usually": 0.80, "sometimes": 0.40, "rarely": 0.10, "never": 0.02}
"""How often a unit with the fault shows the sign."""
OFTEN_ENOUGH = ("always", "usually", "sometimes")
"""The words that put an entry under a sign when the results are narrowed by it."""


class Window(NamedTuple):
    """The lowest and highest acceptable value; None is no limit on that side."""

    low: float | None
    high: float | None
    text: str
    """As typed."""
    says: str = ""
    """Who states it, where people disagree."""


def overlap(windows: Sequence[Window]) -> Window | None:
    """Give the window in which all agree; None where there is none."""
    low = max((one.low for one in windows if one.low is not None), default=None)
    high = min((one.high for one in windows if one.high is not None), default=None)
    if low is not None and high is not None and low > high:
        return None
    return Window(low, high, "")


class Target(NamedTuple):
    """A quantity to be read, between stated points, with its window."""

    name: str
    at: str
    """Between which points and under which conditions."""
    reads: str
    """What is read: a word of `fixbook.core.readings.READS`."""
    kind: Kind
    windows: tuple[Window, ...]
    models: tuple[str, ...] = ()
    """Models or revisions it holds for; empty: all."""
    note: str = ""
    """Where the figure comes from, when it is not a published one."""
    step: Window | None = None
    """For a trimmer moved a little at a time: the smallest and largest move."""


@dataclass(frozen=True, slots=True)  # a named tuple has a `count` of its own
class Part:
    """A part that is replaced. Everything but `count` is text as typed."""

    at: str
    is_: str
    value: str = ""
    count: int = 1
    instead: tuple[str, ...] = ()
    """Stand-ins known to work."""
    volts: str = ""
    temperature: str = ""
    esr: str = ""
    ripple: str = ""
    body: str = ""


class Opening(NamedTuple):
    """One step of taking the unit apart, with the fasteners to be counted back in."""

    do: str
    fasteners: str = ""


class Entry(NamedTuple):
    """One write-up: a fault, or a technique that write-ups refer to."""

    id: str
    kind: str
    title: str
    unit: str
    section: str = ""
    models: tuple[str, ...] = ()
    """Empty: any of this unit."""
    share: str = "occasional"
    signs: Mapping[str, Mapping[str, str]] = {}
    """Sign, then answer, then how often: `{"hum": {"seen": "always"}}`."""
    lay: tuple[str, ...] = ()
    """How people ask for it, where no sign's lay wording says so."""
    hazards: tuple[str, ...] = ()
    skill: str = ""
    minutes: int | None = None
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    targets: tuple[Target, ...] = ()
    parts: tuple[Part, ...] = ()
    opening: tuple[Opening, ...] = ()
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    state: str = "written"
    replaced_by: str = ""
    revised: str = ""
    body: str = ""
    body_line: int = 1
    """The line of the file on which the body begins."""

    def often(self, sign: str, answer: str) -> str:
        """Give the word of how often this fault shows that answer; empty where it says nothing."""
        return self.signs.get(sign, {}).get(answer, "")
