"""The desk: what the screen asks of the open book. It works in a lane of its own."""

from __future__ import annotations

import contextlib
import io
import shlex
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from fixbook.core.bench import Bench
from fixbook.core.problems import sentence
from fixbook.core.sheet import Block, TextBlock
from fixbook.errors import CalculationError, FixbookError, QueryError
from fixbook.screen.requests import (
    Check,
    Checked,
    Compute,
    Computed,
    Field,
    Form,
    Laid,
    Lay,
    Sums,
    WantForm,
    WantSums,
    Work,
    Worked,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fixbook.app.library import Library
    from fixbook.core.calculation import Result
    from fixbook.core.calculator import Calculator
    from fixbook.core.links import LinkTarget
    from fixbook.core.plugins import ScreenPanel

PANELS = "fixbook_screen_panels"


class Desk:
    """Answers requests from an open library. Not to be used from two threads."""

    def __init__(self, library: Library) -> None:
        self.library = library
        self._calculators: dict[str, Calculator] = {}
        self._shown: list[Block] = []
        self._panels: dict[str, tuple[str, ScreenPanel]] = {}

    @property
    def bench(self) -> Bench:
        """The bench that plugins work at; what they show is caught."""
        from fixbook.app.bench import LibraryBench

        def show(blocks: Sequence[Block]) -> None:
            self._shown += blocks

        return LibraryBench(self.library, show=show)

    def panels(self) -> tuple[ScreenPanel, ...]:
        """Ask the plugins for their panels; of two with one name, the first."""
        from fixbook.core.plugins import ScreenPanel

        found = self.library.registry.gather(PANELS, ScreenPanel, bench=self.bench)
        for plugin, one in found:
            self._panels.setdefault(one.name, (plugin, one))
        return tuple(one for _, one in self._panels.values())

    def switch_off(self, panel: str, why: str) -> None:
        """Take the plugin of a panel that failed out for the run."""
        from fixbook.errors import PluginError

        if panel in self._panels:
            plugin, _ = self._panels.pop(panel)
            if self.library.registry.is_on(plugin):
                self.library.registry.switch_off(plugin, PluginError(plugin, why, hook=PANELS))

    def work(self, request: Work) -> Worked:
        """Do what a panel wants done; its plugin is switched off where its code fails."""
        plugin, panel = self._panels.get(request.panel, ("", None))
        if panel is None or panel.work is None:
            return Worked(request, problem="nobody does this work")
        do = panel.work
        try:
            with contextlib.redirect_stdout(io.StringIO()):
                done = self.library.registry.attempt(
                    plugin, PANELS, lambda: _guarded(lambda: do(self.bench, request.work))
                )
        except FixbookError as error:
            return Worked(request, problem=_said(error))
        if not done:
            return Worked(request, problem=f"the plugin {plugin} failed and is off for this run")
        if isinstance(done[0], FixbookError):
            return Worked(request, problem=_said(done[0]))
        return Worked(request, done[0])

    def lay(self, request: Lay) -> Laid:
        """Lay a sheet out: a write-up, a plugin's document, or what a plugin's command shows."""
        from fixbook.screen.laying import lay_problem

        try:
            if request.key.startswith("fixbook "):
                return self._lay_command(request, request.key)
            if ":" in request.key:
                target = self._resolve(request.key)
                return self._lay_command(request, target.command, target.title)
            return self._lay_entry(request)
        except FixbookError as error:
            return lay_problem(request, error)

    def form(self, request: WantForm) -> Form:
        """Give a calculator's form; CalculationError with close matches."""
        from fixbook.render.answer import input_row

        one = self._calculator(request.name)
        fields = []
        for field in one.inputs:
            name, about, default = input_row(field)
            fields.append(Field(name, about, default.removeprefix("= "), field.required))
        return Form(one.name, one.question, tuple(fields), one.cautions)

    def compute(self, request: Compute) -> Computed:
        """Run a calculation; what is still wanted is an answer too."""
        from fixbook.app.calculating import run_guarded
        from fixbook.core.calculation import missing

        try:
            one = self._calculator(request.name)
            given = {name: [text] for name, text in request.texts}
            absent = [field.name.replace("_", " ") for field in missing(one, given)]
            if absent:
                return Computed(request, wanting=f"still needed: {', '.join(absent)}")
            result = run_guarded(one, given)
        except CalculationError as error:
            return Computed(request, wanting=_said(error), field=error.input)
        except FixbookError as error:
            return Computed(request, wanting=_said(error))
        return _computed(request, result)

    def check(self, request: Check) -> Checked:
        """Judge a reading while it is typed."""
        from fixbook.app.checking import check_reading
        from fixbook.render.clean import clean_line
        from fixbook.render.lines import DOUBT, PLAIN
        from fixbook.render.sheet import STYLE_OF

        filed = self.library.find(request.key)
        try:
            if filed is None:
                raise QueryError(f"{request.key} is not in this book")
            said = f"{request.target}={request.text}"
            found = check_reading(filed.entry, said, self.library.shop)
        except FixbookError as error:
            return Checked(request, [(DOUBT, clean_line(_said(error)))], usable=False)
        pieces = []
        for one in found:
            word = f"{one.verdict}, {one.word}" if one.word else one.verdict
            pieces += [(STYLE_OF[one.weight], f" {word} "), (PLAIN, f" {clean_line(one.why)} ")]
        return Checked(request, pieces)

    def sums(self, request: WantSums) -> Sums:
        """List the calculators."""
        from fixbook.app.calculating import grouped

        rows = [(one.name, one.question) for _, some in grouped(self.library) for one in some]
        return Sums(request, tuple(rows))

    def _calculator(self, name: str) -> Calculator:
        from fixbook.app.calculating import find_calculator

        if name not in self._calculators:
            self._calculators[name] = find_calculator(self.library, name)
        return self._calculators[name]

    def _lay_entry(self, request: Lay) -> Laid:
        from fixbook.app.bench import unknown_entry
        from fixbook.app.sheets import lay_out
        from fixbook.screen.laying import lay_sheet

        filed = self.library.find(request.key)
        if filed is None:
            raise unknown_entry(self.library, request.key)
        bench = self.bench
        blocks = lay_out(self.library, filed, bench)
        return lay_sheet(
            request,
            filed.entry,
            blocks,
            self.library.shop,
            summary=bench.summary(filed.entry),
            commands=self._link_commands(filed.entry.body),
        )

    def _link_commands(self, body: str) -> Mapping[str, str]:
        """Give the commands that links of plugins' schemes in a body open, with their titles."""
        from fixbook.core.links import ENTRY_SCHEMES, links_in, read_link

        found: dict[str, str] = {}
        schemes = None
        for _, _, picture, _, target in links_in(body):
            link = read_link(target)
            if picture or not link.scheme or link.scheme in ENTRY_SCHEMES:
                continue
            schemes = schemes or self.library.link_schemes()
            if link.scheme in schemes:
                with contextlib.suppress(FixbookError):
                    resolved = schemes[link.scheme](link)
                    found[resolved.command] = resolved.title
        return found

    def _resolve(self, key: str) -> LinkTarget:
        from fixbook.core.links import Link

        kind, _, name = key.partition(":")
        schemes = self.library.link_schemes()
        if kind not in schemes:
            raise QueryError(f"nothing here opens {kind}: links")
        return schemes[kind](Link(kind, name))

    def _lay_command(self, request: Lay, command: str, title: str = "") -> Laid:
        """Run a plugin's command and lay out what it shows and prints."""
        from fixbook.screen.laying import lay_blocks

        self._shown = []
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
            self._run_command(shlex.split(command)[1:])
        blocks = [*self._shown]
        if printed.getvalue().strip():
            blocks.append(TextBlock("", printed.getvalue()))
        return lay_blocks(request, title or command, blocks)

    def _run_command(self, words: list[str]) -> None:
        import argparse

        registry = self.library.registry
        found = registry.commands(())
        if not words or words[0] not in found:
            raise QueryError(f"there is no command {' '.join(words[:1])!r}")
        plugin, command = found[words[0]]
        parser = argparse.ArgumentParser(prog=f"fixbook {words[0]}", exit_on_error=False)
        parser.add_argument("--json", action="store_true")
        parser.add_argument("--book")

        def run() -> object:
            command.configure(parser)
            return command.run(self.bench, parser.parse_args(words[1:]))

        done = registry.attempt(plugin, "fixbook_commands", lambda: _guarded(run))
        if done and isinstance(done[0], FixbookError):
            raise done[0]


def _guarded(work: Callable[[], object]) -> object:
    """Give a FixbookError back as an answer: it is one, and no failure of the plugin."""
    try:
        return work()
    except FixbookError as error:
        return error
    except SystemExit as error:
        return QueryError(f"the command ended with {error.code}")


def _computed(request: Compute, result: Result) -> Computed:
    from fixbook.core.answer import Table
    from fixbook.render.answer import VERDICT_STYLE, answer_lines
    from fixbook.render.lines import hanging, wrap

    answer = result.answer
    figures = [
        f"{one.name.replace('_', ' ')} {one.shown()}"
        for one in answer.values
        if not isinstance(one, Table) and one.shown()
    ]
    word = f"{answer.verdict}, {answer.word}" if answer.word else answer.verdict or ""
    said = f"{word}: {answer.why}" if word else (answer.why or "; ".join(figures[:3]))
    given = ", ".join(f"{one.input.name}={one.text}" for one in result.inputs if one.given)
    line = f"{result.calculator.name} {given}: {word + ', ' if word else ''}{'; '.join(figures)}"
    style = VERDICT_STYLE[answer.verdict] if answer.verdict else "plain"
    # The question and the calculator's own cautions stand above the form already.
    calc, width = result.calculator, request.width
    above = len(wrap(calc.question, width))
    above += sum(len(hanging("! ", one, width)) for one in calc.cautions)
    lines = answer_lines(result, width)[above:]
    return Computed(request, said, style, line, tuple(lines))


def _said(error: FixbookError) -> str:
    """Say why and what to do; a reason that ends by itself is followed by a sentence of its own."""
    if error.why.endswith((".", "?", "!")) and error.hint:
        return f"{error.why} {sentence(error.hint)}"
    return f"{error.why}; {error.hint}" if error.hint else error.why
