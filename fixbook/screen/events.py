"""What can happen to the screen."""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.screen.requests import Answer, WantForm


@dataclass(frozen=True, slots=True)
class Typed:
    """The input line has this text now."""

    text: str


@dataclass(frozen=True, slots=True)
class Do:
    """A key or a click that means something: one of `keys.ACTIONS`, with what it is about."""

    action: str
    about: str = ""
    when: str = ""
    """The minute it happened, `2026-11-25T14:30`; the state itself knows no clock."""


@dataclass(frozen=True, slots=True)
class Wheel:
    """The mouse wheel turned over a side: `left` or `right`; down is positive."""

    side: str
    steps: int


@dataclass(frozen=True, slots=True)
class Resized:
    """The terminal has this size now."""

    columns: int
    rows: int


@dataclass(frozen=True, slots=True)
class Answered:
    """Something that was asked for has come."""

    answer: Answer


@dataclass(frozen=True, slots=True)
class FormOpened:
    """A calculator's form has come, for this wish."""

    request: WantForm
    answer: Answer | None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Hears:
    """How far something long is, or a word of warning; empty: it is over."""

    text: str
    lasting: bool = False
    """Whether it stands until a key is pressed, rather than until the next word."""


Event = Typed | Do | Wheel | Resized | Answered | FormOpened | Hears
