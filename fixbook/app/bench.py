"""The bench that plugins work at, on top of an open library."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from fixbook.core.problems import close_matches, did_you_mean
from fixbook.errors import CalculationError, UnknownEntryError

if TYPE_CHECKING:  # a sheet or search that asks for none of it imports none of it
    from fixbook.app.library import Library
    from fixbook.core.calculation import Result
    from fixbook.core.calculator import Calculator
    from fixbook.core.entry import Entry
    from fixbook.core.inputs import Input
    from fixbook.core.plugins import Counts, JobFacts, JobSource
    from fixbook.core.sheet import Block, ReadingBlock
    from fixbook.core.shop import Shop
    from fixbook.core.vocabulary import Vocabulary
    from fixbook.search.analysis import Analyser

Asker = Callable[["Sequence[Input]"], Mapping[str, str]]
Shower = Callable[["Sequence[Block]"], None]
Progress = Callable[[str, int, int], None]


class LibraryBench:
    """Implements `fixbook.core.bench.Bench`; nothing is read before it is asked for."""

    def __init__(
        self,
        library: Library,
        *,
        ask: Asker | None = None,
        show: Shower | None = None,
        progress: Progress | None = None,
    ) -> None:
        self._library = library
        self._ask = ask
        self._show = show
        self._progress = progress
        self._analyser: Analyser | None = None
        self._empty: frozenset[str] = frozenset()

    @property
    def vocabulary(self) -> Vocabulary:
        """The book's words."""
        return self._library.vocabulary

    @property
    def shop(self) -> Shop:
        """The shop's settings."""
        return self._library.shop

    @property
    def folder(self) -> str:
        """The book's own folder; empty where there is only the starter book."""
        return str(self._library.own) if self._library.own else ""

    @property
    def cache(self) -> str:
        """A folder of this book's for what can be made anew; IndexFolderError without one."""
        return str(self._library.cache)

    def entry(self, id: str) -> Entry:
        """Give a write-up by its id or a former id; UnknownEntryError with close matches."""
        found = self._library.find(id)
        if found is None:
            raise unknown_entry(self._library, id)
        return found.entry

    def entries(self, units: Collection[str] = ()) -> Iterable[Entry]:
        """Give every write-up that can be used; with `units`, those in their folders alone."""
        return (filed.entry for filed in self._library.filed(units))

    def calculator(self, name: str) -> Calculator:
        """Give a calculator by name; CalculationError with close matches."""
        from fixbook.app.calculating import any_calculator

        return any_calculator(self._library, name)

    def calculators(self) -> Sequence[Calculator]:
        """Give all calculators of all plugins, in the plugins' order."""
        return list(self._library.registry.calculators().values())

    def calculate(self, name: str, inputs: Mapping[str, str]) -> Result:
        """Run a calculator on texts as typed; CalculationError as on the command line."""
        from fixbook.app.calculating import run_guarded

        one = self.calculator(name)
        return run_guarded(one, {one.input(key).name: [text] for key, text in inputs.items()})

    def evidence(self, unit: str) -> Counts:
        """Give what the plugins have counted about a unit's faults, added up."""
        from fixbook.core.plugins import Counts, add_counts

        found = self._library.registry.values("fixbook_evidence", Counts, bench=self, unit=unit)
        return add_counts(counts for _, counts in found)

    def job_facts(self, number: str) -> JobFacts | None:
        """Give what a past job knows that a write-up can begin with; None: no such job."""
        from fixbook.core.plugins import JobFacts

        found = self._library.registry.values(
            "fixbook_job_facts", JobFacts, bench=self, number=number
        )
        return found[0][1] if found else None

    def note_job(self, number: str, text: str, signs: Mapping[str, str]) -> bool:
        """Put a note and the signs that were looked for into a job; False: nobody keeps jobs."""
        found = self._library.registry.values(
            "fixbook_job_note", bool, bench=self, number=number, text=text, signs=signs
        )
        return any(done for _, done in found)

    def job_sources(self) -> Sequence[JobSource]:
        """Give all ways to read a shop's existing history."""
        from fixbook.core.plugins import JobSource

        return [one for _, one in self._library.registry.gather("fixbook_job_sources", JobSource)]

    def summary(self, entry: Entry) -> str:
        """Give the plugins' lines of figures for an entry, joined."""
        found = self._library.registry.values("fixbook_summary", str, bench=self, entry=entry)
        return "; ".join(line for _, line in found if line)

    def check(self, entry: Entry, said: str) -> Sequence[ReadingBlock]:
        """Judge `target=reading` as a sheet does: one block for each stated window."""
        from fixbook.app.checking import check_reading

        return check_reading(entry, said, self._library.shop)

    def sheet(self, id: str) -> Sequence[Block]:
        """Give a write-up's whole sheet, cautions first; UnknownEntryError with close matches."""
        from fixbook.app.sheets import lay_out

        found = self._library.find(id)
        if found is None:
            raise unknown_entry(self._library, id)
        return lay_out(self._library, found, self)

    def terms(self, text: str) -> Sequence[tuple[str, ...]]:
        """Give a text's words as the search knows them, each with the forms that find it."""
        from fixbook.search.analysis import Analyser
        from fixbook.search.parse import STOP

        if self._analyser is None:
            self._analyser = Analyser()
            self._empty = frozenset(self._analyser.term(word) for word in STOP)
        slots = self._analyser.slots(text)
        return [slot for slot in slots if slot and slot[0] not in self._empty]

    def refresh_beside(self) -> None:
        """Let a process beside this one bring index and figures up to date."""
        from fixbook.app.beside import refresh_beside

        refresh_beside(self._library)

    def ask(self, form: Sequence[Input]) -> Mapping[str, str]:
        """Ask the user for inputs, one by one; CalculationError where nobody can be asked."""
        if self._ask is None:
            names = ", ".join(one.name for one in form)
            raise CalculationError(f"nobody can be asked for {names} here", input=names)
        return self._ask(form)

    def show(self, blocks: Sequence[Block]) -> None:
        """Show blocks to the user, as a sheet shows them."""
        if self._show is not None:
            self._show(blocks)

    def progress(self, what: str, done: int, whole: int) -> None:
        """Show how far something long is; `whole` is 0 where that is not known."""
        if self._progress is not None:
            self._progress(what, done, whole)


def unknown_entry(library: Library, id: str) -> UnknownEntryError:
    """Say that no write-up has an id, with close matches; or that its file cannot be used."""
    known = [path.rsplit("/", 1)[-1].removesuffix(".md") for _, path in library.files()]
    if id in known:
        return UnknownEntryError(
            f"the write-up {id!r} has faults and cannot be shown",
            input="id",
            read=id,
            hint="'fixbook proof' says where they are and what to do",
        )
    near = close_matches(id, known)
    hint = did_you_mean(id, known, otherwise="'fixbook find WORDS' searches by symptom")
    return UnknownEntryError(
        f"there is no write-up {id!r}; {hint}", input="id", read=id, choices=near
    )
