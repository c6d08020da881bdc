"""The screen without a terminal and without threads: every answer comes at once."""

from __future__ import annotations

from fixbook.app.library import Library
from fixbook.errors import FixbookError
from fixbook.render.lines import text_of
from fixbook.screen.desk import Desk
from fixbook.screen.events import Answered, Do, Event, FormOpened, Typed
from fixbook.screen.paint import paint
from fixbook.screen.requests import (
    Check,
    Compute,
    Figures,
    Lay,
    Panels,
    Search,
    WantFigures,
    WantForm,
    WantSums,
    Work,
)
from fixbook.screen.seeking import Seeker, Watcher
from fixbook.screen.state import State
from fixbook.screen.step import step
from fixbook.screen.wants import wants

WHEN = "2026-11-25T14:30"


class Player:
    """Plays events into the screen's state, with a real book behind it."""

    def __init__(self, library: Library, *, columns: int = 100, rows: int = 30) -> None:
        self.state = State(columns=columns, rows=rows)
        self.desk = Desk(library)
        self.seeker = Seeker(lambda reader: None)
        self.watcher = Watcher(
            library, self.seeker.take, lambda opened: self.send(Answered(opened)), lambda *_: None
        )
        self._asked: dict[str, object] = {}
        self.asked: list[object] = []
        self.watcher.look()

    def open_panels(self, drafts: dict[str, str] | None = None) -> None:
        """Let the plugins' panels come."""
        self.send(Answered(Panels(self.desk.panels(), drafts or {})))

    def go_on(self, state: State) -> None:
        """Go on with another state, of which nothing was asked yet."""
        self.state = state
        self._asked.clear()

    def send(self, event: Event) -> None:
        """Let something happen, and everything that follows from it."""
        self.state = step(self.state, event)
        for kind, request in wants(self.state).items():
            before = self._asked.get(kind)
            if before is not request and (before != request or isinstance(request, WantForm)):
                self._asked[kind] = request
                self.asked.append(request)
                self._answer(request)

    def do(self, *actions: str) -> None:
        """Do what keys mean, one after another."""
        for action in actions:
            name, _, about = action.partition(" ")
            self.send(Do(name, about, WHEN))

    def type(self, text: str) -> None:
        """Put a text into the input line."""
        self.send(Typed(text))

    def to_stop(self, kind: str) -> None:
        """Go to the first stop of a kind on the sheet."""
        stops = self.state.laid.stops if self.state.laid else ()
        at = next(at for at, one in enumerate(stops) if one.kind == kind)
        self.send(Do("stop", str(at), WHEN))

    @property
    def shown(self) -> str:
        """What is painted, as plain text."""
        return "\n".join(text_of(row.line).rstrip() for row in paint(self.state))

    def _answer(self, request: object) -> None:
        desk = self.desk
        if isinstance(request, Search):
            found = self.seeker.search(request)
            if found is not None:
                self.send(Answered(found))
        elif isinstance(request, Lay):
            self.send(Answered(desk.lay(request)))
        elif isinstance(request, Check):
            self.send(Answered(desk.check(request)))
        elif isinstance(request, Compute):
            self.send(Answered(desk.compute(request)))
        elif isinstance(request, WantSums):
            self.send(Answered(desk.sums(request)))
        elif isinstance(request, WantFigures):
            self.send(Answered(Figures(request, self.watcher.figures(request.ids))))
        elif isinstance(request, Work):
            self.send(Answered(desk.work(request)))
        elif isinstance(request, WantForm):
            try:
                self.send(FormOpened(request, desk.form(request)))
            except FixbookError as error:
                self.send(FormOpened(request, None, error.why))
