"""What the screen asks for, and the answers. Plain values: they cross from thread to thread.

A request is compared with the one that was asked last; the same again is not asked twice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fixbook.core.entry import Entry
from fixbook.core.plugins import PanelWork, ScreenPanel
from fixbook.core.query import Findings
from fixbook.render.lines import Line

Pairs = tuple[tuple[str, str], ...]
"""Names with texts, in order, comparable."""


@dataclass(frozen=True, slots=True)
class Search:
    """A search as it stands in the input line."""

    words: str
    narrowed: Pairs
    limit: int
    turn: int
    """Counts what was typed: the answer to a higher turn is newer."""
    generation: int
    """Counts changes of the book."""


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to a search."""

    request: Search
    findings: Findings
    problem: str = ""
    """Why there is none, in words."""


@dataclass(frozen=True, slots=True)
class Lay:
    """A sheet to be laid out."""

    key: str
    """The id of a write-up, `kind:id` of a plugin's document, or a command, `fixbook …`."""
    width: int
    readings: Pairs
    """Each target's name with the reading that was kept."""
    brief: frozenset[str]
    """Hazards whose whole text was read already; their short form is shown."""
    glance: bool
    """Whether it only stands beside the results: then every caution is in its short form."""
    generation: int


TICK, READ, OPEN = "tick", "read", "open"


@dataclass(frozen=True, slots=True)
class Stop:
    """A place on a sheet where something can be done."""

    kind: str
    """TICK: a step; READ: a target; OPEN: a link or a sum."""
    name: str
    """The step's own mark, the target's name, or the command that opens it."""
    line: int
    """Its first line."""
    lines: int
    label: str
    """In words, short."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A sheet laid out to a width."""

    request: Lay
    title: str
    lines: tuple[Line, ...]
    stops: tuple[Stop, ...] = ()
    sums: Pairs = ()
    """Sums that fit: what for, and the command with what the sheet fills in."""
    entry: Entry | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a calculator's form."""

    name: str
    about: str
    """What it is, its unit, its choices, its valid range."""
    default: str
    """What is taken where nothing is typed: a value, `needed` or `may be left out`."""
    required: bool


@dataclass(frozen=True, slots=True)
class Form:
    """A calculator's form."""

    name: str
    question: str
    fields: tuple[Field, ...]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WantForm:
    """A calculator to be opened, with what it is filled in with."""

    name: str
    given: Pairs


@dataclass(frozen=True, slots=True)
class Compute:
    """A calculation on texts as typed."""

    name: str
    texts: Pairs
    width: int
    form: int = 0
    """Counts the forms that were begun: the same texts in another form are worked out again."""


@dataclass(frozen=True, slots=True)
class Computed:
    """The answer of a calculation, or what is still wanted."""

    request: Compute
    verdict: str = ""
    """The verdict and why, in a line; the first answer where there is no verdict."""
    weight: str = "plain"
    """The style that goes with the verdict."""
    line: str = ""
    """The whole calculation in a line, for a note."""
    lines: tuple[Line, ...] = ()
    wanting: str = ""
    """Why there is no answer yet."""
    field: str = ""
    """The field it is about."""


@dataclass(frozen=True, slots=True)
class Check:
    """A reading held against a target while it is typed."""

    key: str
    target: str
    text: str


@dataclass(frozen=True, slots=True)
class Checked:
    """The verdict on a reading, in styled words."""

    request: Check
    pieces: Line = field(default_factory=list)
    usable: bool = True
    """Whether it could be read at all."""


@dataclass(frozen=True, slots=True)
class WantSums:
    """The list of calculators."""

    generation: int


@dataclass(frozen=True, slots=True)
class Sums:
    """All calculators: name and question."""

    request: WantSums
    rows: Pairs


@dataclass(frozen=True, slots=True)
class WantFigures:
    """The plugins' lines of figures for the results in sight."""

    ids: tuple[str, ...]
    generation: int


@dataclass(frozen=True, slots=True)
class Figures:
    """These lines, by id; those without one are left out."""

    request: WantFigures
    lines: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Work:
    """What a panel wants to be done."""

    panel: str
    work: PanelWork


@dataclass(frozen=True, slots=True)
class Worked:
    """What came of it."""

    request: Work
    answer: object = None
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """The index is open, or has changed."""

    units: Mapping[str, str] = field(default_factory=dict)
    """Unit ids with their names."""
    asks: Mapping[str, str] = field(default_factory=dict)
    """Signs with their questions."""
    kinds: tuple[str, ...] = ()
    """Kinds of document that plugins add."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftSum:
    """A calculator's form as it was left."""

    name: str
    given: Pairs
    """What it was filled in with when it was opened: the same wish brings the same form back."""
    texts: Pairs
    """The lines that have something in them, by name."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What was typed outside plugins' panels, as it outlives the screen."""

    words: str = ""
    narrowed: Pairs = ()
    sums: tuple[LeftSum, ...] = ()
    """The newest first."""
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Recalled:
    """What the last screen left behind."""

    kept: Kept = Kept()
    recent: tuple[str, ...] = ()
    """Words that were searched before, the newest first."""


@dataclass(frozen=True, slots=True)
class Panels:
    """The panels that plugins give, in their order, with what the last screen left in them."""

    panels: tuple[ScreenPanel, ...]
    drafts: Mapping[str, str] = field(default_factory=dict)
    """What was typed and never finished, by panel."""


Request = Search | Lay | WantForm | Compute | Check | WantSums | WantFigures | Work
Answer = (
    Found | Laid | Form | Computed | Checked | Sums | Figures | Worked | Opened | Recalled | Panels
)
