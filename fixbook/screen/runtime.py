"""Between the state and the world: events go in one by one, what the state asks for is done.

Everything but the lanes' work happens in the thread that calls `send`; the lanes' answers come
back through `post`, which the owner turns into a `send` in that same thread.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fixbook.errors import FixbookError, PluginError
from fixbook.screen.desk import Desk
from fixbook.screen.drafts import Drafts
from fixbook.screen.events import Answered, Event, FormOpened, Hears
from fixbook.screen.keeping import from_text, kept, to_text
from fixbook.screen.lane import Lane
from fixbook.screen.requests import (
    Check,
    Compute,
    Figures,
    Kept,
    Lay,
    Opened,
    Panels,
    Recalled,
    Request,
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

if TYPE_CHECKING:
    from fixbook.app.indexing import BookIndex
    from fixbook.app.library import Library

Post = Callable[[Event], None]
FIRST = ("open", "check", "sum", "form", "sheet", "sums", "panels")
"""What the desk does first when several things are asked for."""
REST_S = 0.1
"""What is typed is written no more often than this."""


class Runtime:
    """The state as it is now, and the lanes that answer it."""

    def __init__(self, library: Library, post: Post) -> None:
        self.state = State()
        self._post = post
        self._asked: dict[str, object] = {}
        self._switched_off: set[str] = set()
        self._drafts = Drafts(library.folders.data, str(library.own or "starter"))
        self._kept: tuple[dict[str, str], tuple[str, ...], Kept] = ({}, (), Kept())
        self._unkept = ""
        library.on_plugin_error = self._hear_plugin
        self._desk = Desk(library)
        self._seeker = Seeker(self._mend)
        self._watcher = Watcher(library, self._seeker.take, self._tell, self._hear)
        self._search = Lane("search", on_fault=self._fault)
        self._table = Lane(
            "desk",
            FIRST,
            on_fault=self._fault,
            idle=self._watcher.look,
            idle_s=self._watcher.pause_s,
        )
        self._saver = Lane("drafts", on_fault=self._fault, rest_s=REST_S)

    def begin(self) -> None:
        """Open the book beside the screen, once the screen has been painted."""
        for lane in (self._search, self._table, self._saver):
            lane.start()
        self._table.ask("open", self._open)

    def end(self) -> None:
        """Do what was asked for before, save what was typed, and let everything go."""
        self._save()
        for lane in (self._table, self._saver):
            lane.end()
        self._drafts.close()

    def send(self, event: Event) -> None:
        """Let something happen."""
        self.state = step(self.state, event)
        self._switch_off()
        for kind, request in wants(self.state).items():
            if not self._is_asked(kind, request):
                self._asked[kind] = request
                self._ask(kind, request)
        self._save()

    def _is_asked(self, kind: str, request: Request) -> bool:
        before = self._asked.get(kind)
        if isinstance(request, Work):  # the same note twice is two notes
            return isinstance(before, Work) and before.work is request.work
        if isinstance(request, WantForm):
            return before is request
        return before == request

    def _ask(self, kind: str, request: Request) -> None:
        if isinstance(request, Search):
            self._search.ask(kind, lambda: self._answer_search(request))
            return
        kind = f"{kind} {id(request)}" if isinstance(request, Work) else kind
        self._table.ask(kind, lambda: self._answer(request))

    def _answer_search(self, request: Search) -> None:
        found = self._seeker.search(request)
        if found is not None:
            self._post(Answered(found))

    def _answer(self, request: Request) -> None:
        desk = self._desk
        try:
            if isinstance(request, Lay):
                self._post(Answered(desk.lay(request)))
            elif isinstance(request, Check):
                self._post(Answered(desk.check(request)))
            elif isinstance(request, Compute):
                self._post(Answered(desk.compute(request)))
            elif isinstance(request, WantSums):
                self._post(Answered(desk.sums(request)))
            elif isinstance(request, WantFigures):
                lines = self._watcher.figures(request.ids)
                self._post(Answered(Figures(request, lines)))
            elif isinstance(request, Work):
                self._post(Answered(desk.work(request)))
                self._watcher.look()
            elif isinstance(request, WantForm):
                self._post(FormOpened(request, desk.form(request)))
        except FixbookError as error:
            if isinstance(request, WantForm):
                self._post(FormOpened(request, None, error.why))
            else:
                self._post(Hears(error.why, lasting=True))

    def _open(self) -> None:
        drafts, recent, typed = self._drafts.open()
        self._post(Answered(Recalled(from_text(typed), recent)))  # before the first search
        self._watcher.look()
        self._table.ask("panels", lambda: self._open_panels(drafts))

    def _open_panels(self, drafts: dict[str, str]) -> None:
        self._post(Answered(Panels(self._desk.panels(), drafts)))

    def _mend(self, damaged: BookIndex) -> None:
        self._table.ask("mend", lambda: self._watcher.mend(damaged))

    def _fault(self, error: Exception) -> None:
        place = error.__traceback__
        while place is not None and place.tb_next is not None:
            place = place.tb_next
        where = f"{place.tb_frame.f_code.co_filename}:{place.tb_lineno}" if place else ""
        said = f"a fault of the program itself: {type(error).__name__}: {error} ({where})"
        self._post(Hears(f"{said}; please report it", lasting=True))

    def _tell(self, opened: Opened) -> None:
        self._post(Hears(""))
        self._post(Answered(opened))

    def _hear(self, what: str, done: int, whole: int) -> None:
        of = f" of {whole:,}" if whole else ""
        self._post(Hears(f"{what}: {done:,}{of}"))

    def _hear_plugin(self, error: PluginError) -> None:
        self._post(Hears(error.why, lasting=True))

    def _switch_off(self) -> None:
        for name, why in self.state.off:
            if name not in self._switched_off:
                self._switched_off.add(name)
                self._table.ask(f"off {name}", lambda n=name, w=why: self._desk.switch_off(n, w))  # type: ignore[misc]

    def _save(self) -> None:
        if not self.state.recalled:
            return
        drafts = {one.panel.name: one.state.draft for one in self.state.panels}
        now = (drafts, self.state.recent, kept(self.state))
        if now != self._kept:
            self._kept = now
            self._saver.ask("drafts", lambda: self._write(*now))

    def _write(self, drafts: dict[str, str], recent: tuple[str, ...], typed: Kept) -> None:
        problem = self._drafts.save(drafts)
        unkept = self._drafts.save_typed(to_text(typed))
        self._drafts.save_recent(recent)
        if problem or unkept != self._unkept:  # of words to search it is said once
            self._post(Hears(problem or unkept, lasting=True))
        self._unkept = unkept
