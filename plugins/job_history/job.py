"""A job: one repair of one unit by the shop, from booking-in to hand-over.

What a customer is called or how to reach them has no place here and is never kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

STAGES = (
    "booked-in",
    "quoting",
    "waiting-for-yes",
    "waiting-for-parts",
    "on-bench",
    "on-test",
    "ready",
    "handed-over",
)
"""Where a job stands, in the order of the work."""
HANDED_OVER = "handed-over"
OUTCOMES = ("fixed", "improved", "not-fixed", "no-fault-found", "uneconomic", "declined")
"""How a job ended; empty while it has not."""
TRIED = ("fixed", "improved", "not-fixed")
"""The outcomes of jobs in which a repair was tried: what a fix rate is counted over."""
LONGEST_NUMBER = 60
LONGEST_TEXT = 20_000
MOST_MINUTES = 100_000


class Note(NamedTuple):
    """A note on a job: when it was written (ISO, `2026-11-25T14:30`, or empty), and its text."""

    when: str
    text: str


@dataclass(frozen=True, slots=True)
class Reading:
    """What a target of a write-up read on this unit."""

    fault: str
    """The id of the entry whose target it is."""
    target: str
    """The target's name."""
    kind: str
    """The name of the kind of quantity, as in `fixbook.api.KINDS`: ohms, volts …"""
    before: float | None = None
    """Before the repair, in the kind's base unit; None: not taken."""
    after: float | None = None
    """After the repair, in the kind's base unit; None: not taken."""
    meter: str = ""


@dataclass(frozen=True, slots=True)
class PartUsed:
    """A part that went in."""

    what: str
    value: str = ""
    count: int = 1
    at: str = ""
    """Where it went: C12."""

    def __post_init__(self) -> None:
        if not 0 < self.count <= 100_000:
            raise ValueError(f"the count of {self.what!r} is {self.count}; 1 to 100000 can be")


@dataclass(frozen=True, slots=True)
class Job:
    """One job. A text that is empty, or None, was not recorded."""

    number: str
    """As the shop writes it."""
    booked_in: date | None = None
    handed_over: date | None = None
    unit: str = ""
    """The id of a unit of the vocabulary, or the shop's own word where there is none."""
    model: str = ""
    """Model and board revision as written; `model_key` compares."""
    serial: str = ""
    """The serial tag; it tells one unit from another of its model."""
    accessories: str = ""
    """What came with it."""
    condition: str = ""
    """Marks and damage at intake."""
    complaint: str = ""
    limit: str = ""
    """How far the shop may go without asking, in words: `80, ask beyond`."""
    shelf: str = ""
    stage: str = "booked-in"
    """One of STAGES."""
    signs: Mapping[str, str] = field(default_factory=dict)
    """Each sign that was looked for, with its answer."""
    faults: tuple[str, ...] = ()
    """Ids of the entries it is linked to, in the order of linking."""
    work: str = ""
    """What was done."""
    parts: tuple[PartUsed, ...] = ()
    readings: tuple[Reading, ...] = ()
    notes: tuple[Note, ...] = ()
    minutes: int | None = None
    """Time at the bench."""
    safety_test: str = ""
    """What was tested before it went back, how it read, and by which code."""
    soak_minutes: int | None = None
    outcome: str = ""
    """One of OUTCOMES; empty while it is open."""
    return_of: str = ""
    """The number of the earlier job, where the unit came back with the same complaint."""
    source: str = ""
    """Where it was brought in from; empty: recorded here."""

    def __post_init__(self) -> None:
        if not self.number.strip() or self.number != self.number.strip():
            raise ValueError(f"the job number {self.number!r} is empty or has blanks at its ends")
        if len(self.number) > LONGEST_NUMBER or not self.number.isprintable():
            raise ValueError(
                f"the job number {self.number[:LONGEST_NUMBER]!r} is longer than "
                f"{LONGEST_NUMBER} characters or has signs that cannot be printed"
            )
        if self.stage not in STAGES:
            raise ValueError(f"the stage is {self.stage!r}; one of {', '.join(STAGES)} can be")
        if self.outcome and self.outcome not in OUTCOMES:
            raise ValueError(
                f"the outcome is {self.outcome!r}; one of {', '.join(OUTCOMES)} can be"
            )
        for name in ("minutes", "soak_minutes"):
            value = getattr(self, name)
            if value is not None and not 0 <= value <= MOST_MINUTES:
                raise ValueError(f"{name} is {value}; 0 to {MOST_MINUTES} can be")
        if self.booked_in and self.handed_over and self.handed_over < self.booked_in:
            raise ValueError(
                f"it was handed over on {self.handed_over}, before it was booked in on "
                f"{self.booked_in}"
            )
        if self.return_of == self.number:
            raise ValueError(f"job {self.number} cannot be a return of itself")

    @property
    def open(self) -> bool:
        """Whether the unit is still in the shop."""
        return self.stage != HANDED_OVER


def model_key(model: str) -> str:
    """Bring a model to the form in which models are compared: letters and digits, lower case."""
    return "".join(letter for letter in model.lower() if letter.isalnum())


def serial_key(serial: str) -> str:
    """Bring a serial tag to the form in which tags are compared."""
    return model_key(serial)
