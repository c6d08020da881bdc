"""The state of the screen, whole. Nothing else remembers anything of what is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from fixbook.core.plugins import PanelEvent, PanelState, ScreenPanel
from fixbook.screen.requests import (
    Checked,
    Compute,
    Computed,
    Form,
    Found,
    Laid,
    Lay,
    LeftSum,
    Opened,
    Pairs,
    Search,
    Stop,
    WantForm,
)

SEARCH, SHEET, FORM, PANEL = "search", "sheet", "form", "panel"
NARROW, RECENT, SUMS, ANSWERS, KEYS = "narrow", "recent", "sums", "answers", "keys"
LISTS = (NARROW, RECENT, SUMS, ANSWERS)
"""Places with a list to choose from."""

BESIDE = 100
"""From so many columns on, two sides stand beside each other."""
HEAD, FOOT = 3, 2
"""Rows above the body (input, what it is about, headings), and under it (keys)."""
LONGEST_LINE = 1_000
"""Of what is typed to search; notes may be longer."""
LONGEST_NOTE = 20_000


@dataclass(frozen=True, slots=True)
class Open:
    """A sheet that is open: which, and where the user is on it."""

    key: str = ""
    stop: int = -1
    """The current stop; -1: none."""
    top: int = 0
    """The first line in sight."""
    read: str = ""
    """A reading that is being typed."""


@dataclass(frozen=True, slots=True)
class Filling:
    """A calculator's form that is being filled in."""

    form: Form
    texts: tuple[str, ...]
    at: int = 0
    top: int = 0
    computed: Computed | None = None
    given: Pairs = ()
    """What it was filled in with when it was opened."""
    before: frozenset[int] = frozenset()
    """Lines that were filled in before it was opened; the first letter takes their place."""
    number: int = 0
    """Counts the forms that were begun."""


@dataclass(frozen=True, slots=True)
class Paneled:
    """A plugin's panel with its state."""

    panel: ScreenPanel
    state: PanelState
    at: int = 0
    """The current row: first its fields, then its actions."""
    top: int = 0
    waiting: tuple[PanelEvent, ...] = ()
    """What happened while its work was being done, in order."""
    when: str = ""
    """The minute in which the user turned to it."""


@dataclass(frozen=True, slots=True)
class State:
    """All that the screen shows follows from this."""

    columns: int = 80
    rows: int = 24
    place: str = SEARCH
    came_from: tuple[str, ...] = ()
    """The places to go back to, the last one last."""
    words: str = ""
    before: bool = False
    """Whether the words are from the last screen; the first letter takes their place."""
    narrowed: Pairs = ()
    narrowed_before: Pairs = ()
    """Narrowings from the last screen; they go with its words."""
    limit: int = 0
    """More hits than fit are asked for once the user goes down to them."""
    turn: int = 0
    generation: int = 0
    opened: Opened | None = None
    """None: the book is still being opened."""
    found: Found | None = None
    figures: Mapping[str, str] = field(default_factory=dict)
    """The plugins' line of figures for each result in sight that has one."""
    chosen: int = 0
    """The hit that is chosen."""
    top: int = 0
    """The first hit in sight."""
    entering: bool = False
    """Whether Enter was pressed before the results of what was typed had come."""
    open: Open = Open()
    trail: tuple[Open, ...] = ()
    """Sheets to go back to."""
    laid: Laid | None = None
    brief: frozenset[str] = frozenset()
    """Hazards whose whole text was read in this session."""
    ticked: frozenset[tuple[str, str]] = frozenset()
    """Steps that are done: the sheet and the step."""
    readings: Mapping[str, Pairs] = field(default_factory=dict)
    """Readings kept in this session, by sheet."""
    checked: Checked | None = None
    filter: str = ""
    """What is typed to shorten a list."""
    picked: int = 0
    """The row of a list that is chosen."""
    sums: Pairs | None = None
    """All calculators; None: not asked for yet."""
    want: WantForm | None = None
    """A calculator that is to be opened."""
    filling: Filling | None = None
    forms: int = 0
    """How many forms were begun."""
    left_sums: tuple[LeftSum, ...] = ()
    """Forms that were closed, as they were left, the newest first."""
    answers: tuple[str, ...] = ()
    """The last calculations, each in a line, the newest first."""
    recent: tuple[str, ...] = ()
    panels: tuple[Paneled, ...] = ()
    recalled: bool = False
    """Whether what the last screen left behind is known; before, nothing is kept over it."""
    panel: int = 0
    """The panel that is shown."""
    off: tuple[tuple[str, str], ...] = ()
    """Panels that failed, and why."""
    told: str = ""
    """A word to the user, until the next key."""
    hears: str = ""
    """How far something long is."""
    leaving: bool = False
    """Whether the user leaves as soon as a panel's work is done."""
    left: bool = False
    """Whether the user wants to leave."""

    @property
    def beside(self) -> bool:
        """Whether there is room for two sides."""
        return self.columns >= BESIDE

    @property
    def body(self) -> int:
        """How many rows the body has."""
        return max(1, self.rows - HEAD - FOOT)

    @property
    def left_width(self) -> int:
        """How wide the left side is, or the only one."""
        return min(90, self.columns * 2 // 5) if self.beside else self.columns

    @property
    def right_width(self) -> int:
        """How wide the right side is, or the only one."""
        return self.columns - self.left_width - 3 if self.beside else self.columns

    @property
    def hit_rows(self) -> int:
        """How many rows a hit takes."""
        return 3 if self.rows >= 34 else 2

    @property
    def hits_in_sight(self) -> int:
        """How many hits fit."""
        return max(1, self.body // self.hit_rows)

    @property
    def stop(self) -> Stop | None:
        """The stop of the sheet that the user is at; None where none is in sight."""
        if self.laid is None or self.laid.request.key != self.open.key:
            return None
        stops = self.laid.stops
        if not 0 <= self.open.stop < len(stops):
            return None
        found = stops[self.open.stop]
        return found if self.open.top <= found.line < self.open.top + self.body else None

    @property
    def paneled(self) -> Paneled | None:
        """The panel that is shown."""
        return self.panels[self.panel] if self.panel < len(self.panels) else None

    @property
    def busy(self) -> bool:
        """Whether a panel's work is being done."""
        return any(one.state.work is not None for one in self.panels)

    @property
    def reading(self) -> bool:
        """Whether a reading can be typed now."""
        stop = self.stop
        return self.place == SHEET and stop is not None and stop.kind == "read"

    def search(self) -> Search:
        """Give the search that these words and narrowings mean."""
        limit = max(self.limit, self.hits_in_sight + 1)
        return Search(self.words, self.narrowed, limit, self.turn, self.generation)

    def lay(self) -> Lay | None:
        """Give the sheet that should be laid out; None where none is in sight."""
        in_sight = self.beside or self.place == SHEET
        if not self.open.key or not in_sight:
            return None
        kept = self.readings.get(self.open.key, ())
        glance = SHEET not in (self.place, *self.came_from)
        return Lay(self.open.key, self.right_width, kept, self.brief, glance, self.generation)

    def compute(self) -> Compute | None:
        """Give the calculation that should be done; None without a form."""
        if self.filling is None:
            return None
        names = (one.name for one in self.filling.form.fields)
        typed = tuple(
            (name, text) for name, text in zip(names, self.filling.texts, strict=True) if text
        )
        return Compute(self.filling.form.name, typed, self.right_width, self.filling.number)


def go(state: State, place: str) -> State:
    """Go to a place, from which one can go back."""
    if state.place == place:
        return state
    before = tuple(one for one in state.came_from if one != place)
    return replace(
        state, place=place, came_from=(*before, state.place), filter="", picked=0, checked=None
    )


def back(state: State) -> State:
    """Go back to where the user came from; the search is the last place to go back to."""
    *before, last = state.came_from or (SEARCH,)
    return replace(state, place=last, came_from=tuple(before), filter="", picked=0, checked=None)
