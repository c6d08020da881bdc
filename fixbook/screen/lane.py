"""A lane: one thread that does what was asked last of each kind, and nothing that is outdated.

What is asked again before its turn came replaces the older request, so a lane never falls behind
a fast typist. Work that must not be lost has a kind of its own for each piece.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence

Job = Callable[[], None]


class Lane:
    """Runs the newest job of each kind; `order` says which kinds go first.

    With `rest_s` it rests after each job, so that what is asked meanwhile is done once.
    """

    def __init__(
        self,
        name: str,
        order: Sequence[str] = (),
        *,
        on_fault: Callable[[Exception], None],
        idle: Callable[[], None] | None = None,
        idle_s: Callable[[], float] | None = None,
        rest_s: float = 0.0,
    ) -> None:
        self._order = list(order)
        self._jobs: dict[str, Job] = {}
        self._on_fault = on_fault
        self._idle = idle
        self._idle_s = idle_s
        self._rest_s = rest_s
        self._ready = threading.Condition()
        self._ended = False
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)

    def start(self) -> None:
        """Begin to work."""
        self._thread.start()

    def ask(self, kind: str, job: Job) -> None:
        """Have a job done; an older one of its kind that has not begun is dropped."""
        with self._ready:
            self._jobs.pop(kind, None)
            self._jobs[kind] = job
            self._ready.notify()

    def end(self, wait_s: float = 2.0) -> None:
        """Do what was asked before, and end; after `wait_s` it is left to itself."""
        with self._ready:
            self._ended = True
            self._ready.notify()
        if self._thread.is_alive():
            self._thread.join(wait_s)

    def _next(self) -> Job | None:
        with self._ready:
            while not self._jobs and not self._ended:
                wait_s = self._idle_s() if self._idle_s else None
                if not self._ready.wait(wait_s) and self._idle is not None:
                    return self._idle
            if not self._jobs:
                return None
            first = min(self._jobs, key=self._rank)
            return self._jobs.pop(first)

    def _rank(self, kind: str) -> int:
        return self._order.index(kind) if kind in self._order else len(self._order)

    def _run(self) -> None:
        while (job := self._next()) is not None:
            try:
                job()
            except Exception as error:  # noqa: BLE001  # a lane that ends would do no later job
                self._on_fault(error)
            if self._rest_s:
                with self._ready:
                    self._ready.wait_for(lambda: self._ended, self._rest_s)
