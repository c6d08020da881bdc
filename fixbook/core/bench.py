"""What a hook receives: the book, the vocabulary, the shop and the calculators, in one value."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

from fixbook.core.calculation import Result
from fixbook.core.calculator import Calculator
from fixbook.core.entry import Entry
from fixbook.core.inputs import Input
from fixbook.core.sheet import Block, ReadingBlock
from fixbook.core.shop import Shop
from fixbook.core.vocabulary import Vocabulary

if TYPE_CHECKING:  # a plugin's values are handed a bench in turn
    from fixbook.core.plugins import Counts, JobFacts, JobSource


class Bench(Protocol):
    """The bench at which a plugin works. Plugins get one; they never build one.

    Nothing is read before it is asked for, so a hook that asks for little costs little.
    """

    @property
    def vocabulary(self) -> Vocabulary:
        """The book's words."""

    @property
    def shop(self) -> Shop:
        """The shop's settings."""

    @property
    def folder(self) -> str:
        """The book's own folder; empty where there is only the starter book."""

    @property
    def cache(self) -> str:
        """A folder of this book's for what can be made anew; IndexFolderError without one."""

    def entry(self, id: str) -> Entry:
        """Give a write-up by its id or a former id; UnknownEntryError with close matches."""

    def entries(self, units: Collection[str] = ()) -> Iterable[Entry]:
        """Give every write-up that can be used; with `units`, those in their folders alone."""

    def calculator(self, name: str) -> Calculator:
        """Give a calculator by name; CalculationError with close matches."""

    def calculators(self) -> Sequence[Calculator]:
        """Give all calculators of all plugins, in the plugins' order."""

    def calculate(self, name: str, inputs: Mapping[str, str]) -> Result:
        """Run a calculator on texts as typed; CalculationError as on the command line."""

    def evidence(self, unit: str) -> Counts:
        """Give what the plugins have counted about a unit's faults, added up."""

    def job_facts(self, number: str) -> JobFacts | None:
        """Give what a past job knows that a write-up can begin with; None: no such job."""

    def note_job(self, number: str, text: str, signs: Mapping[str, str]) -> bool:
        """Put a note and the signs that were looked for into a job; False: nobody keeps jobs."""

    def job_sources(self) -> Sequence[JobSource]:
        """Give all ways to read a shop's existing history."""

    def summary(self, entry: Entry) -> str:
        """Give the plugins' lines of figures for an entry, joined."""

    def check(self, entry: Entry, said: str) -> Sequence[ReadingBlock]:
        """Judge `target=reading` as a sheet does: one block for each stated window.

        QueryError or QuantityError where it cannot be judged.
        """

    def sheet(self, id: str) -> Sequence[Block]:
        """Give a write-up's whole sheet, cautions first; UnknownEntryError with close matches."""

    def terms(self, text: str) -> Sequence[tuple[str, ...]]:
        """Give a text's words as the search knows them, each with the forms that find it.

        Words that say nothing, such as `the`, are left out; "not" and "on" are not.
        """

    def refresh_beside(self) -> None:
        """Let a process beside this one bring index and figures up to date; nobody waits for it."""

    def ask(self, form: Sequence[Input]) -> Mapping[str, str]:
        """Ask the user for inputs, one by one; CalculationError where nobody can be asked."""

    def show(self, blocks: Sequence[Block]) -> None:
        """Show blocks to the user, as a sheet shows them."""

    def progress(self, what: str, done: int, whole: int) -> None:
        """Show how far something long is; `whole` is 0 where that is not known."""
