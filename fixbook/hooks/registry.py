"""The plugins of a run: calling their hooks, and switching off the one that fails."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any, TextIO, TypeVar

import pluggy
from pluggy import HookImpl

from fixbook.core.calculator import Calculator
from fixbook.core.plugins import Command
from fixbook.core.problems import close_matches, did_you_mean
from fixbook.errors import CalculationError, FixbookError, PluginError, UnknownEntryError
from fixbook.hooks.loader import Candidate, failure, line_of, load, new_manager

MISREAD = (CalculationError, UnknownEntryError, PluginError)
"""What the bench raises at a plugin that asks it for something wrong: the plugin's own fault."""

T = TypeVar("T")
Wanted = type | tuple[type, ...]


class Registry:
    """Loads plugins when a hook is first called and collects what they give.

    `errors` holds every failure; `on_error` is told of each that is not raised as it happens.
    """

    def __init__(
        self,
        candidates: Iterable[Candidate],
        *,
        on_error: Callable[[PluginError], None] | None = None,
        trace: TextIO | None = None,
    ) -> None:
        self._candidates = list(candidates)
        self._manager: pluggy.PluginManager | None = None
        self._on_error = on_error
        self._trace = trace
        self._calculators: dict[str, Calculator] | None = None
        self._owners: dict[str, str] = {}
        self.errors: list[PluginError] = []

    @property
    def manager(self) -> pluggy.PluginManager:
        """The plugin manager, with every plugin that could be loaded."""
        if self._manager is None:
            self._manager = new_manager()
            found: list[PluginError] = []
            load(self._manager, self._candidates, found)
            for error in found:
                self._note(error)
        return self._manager

    def names(self) -> list[str]:
        """Give the names of the plugins that are on."""
        return [name for name, plugin in self.manager.list_name_plugin() if plugin is not None]

    def is_on(self, name: str) -> bool:
        """Say whether a plugin is loaded and has not failed."""
        return bool(self.manager.has_plugin(name))

    def call(self, hook: str, **arguments: object) -> list[tuple[str, Any]]:
        """Call one hook in every plugin, one by one: each plugin's name and what it gave.

        A plugin that raises is switched off and named; the others are called all the same.
        FixbookError passes through where it is an answer to the user.
        """
        return [(impl.plugin_name, answer) for impl, answer in self._each(hook, arguments)]

    def values(self, hook: str, wanted: Wanted, **arguments: object) -> list[tuple[str, Any]]:
        """Call a hook that gives one value or None; one that gives anything else is switched off.

        What is None is left out.
        """
        found = []
        for impl, answer in self._each(hook, arguments):
            if isinstance(answer, wanted):
                found.append((impl.plugin_name, answer))
            elif answer is not None:
                self._refuse(impl, hook, f"it gave {_kind(answer)}, not {_names(wanted)}")
        return found

    def gather(self, hook: str, wanted: Wanted, **arguments: object) -> list[tuple[str, Any]]:
        """Call a hook that gives a list; one that gives anything else is switched off."""
        found = []
        for impl, answer in self._each(hook, arguments):
            listed = list(answer) if isinstance(answer, (list, tuple)) else None
            if listed is None or not all(isinstance(one, wanted) for one in listed):
                why = f"it gave {_kind(answer)}, not a list of {_names(wanted)}"
                self._refuse(impl, hook, why)
            else:
                found += [(impl.plugin_name, one) for one in listed]
        return found

    def attempt(self, plugin: str, hook: str, work: Callable[[], T], *, place: str = "") -> list[T]:
        """Do what a plugin gave to be done: its answer alone in a list; empty where it failed.

        A plugin that raises is switched off, and not asked again.
        """
        if not self.is_on(plugin):
            return []
        try:
            return [work()]
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            if isinstance(error, FixbookError) and not isinstance(error, MISREAD):
                raise
            self.switch_off(plugin, failure(plugin, error, hook=hook, place=place))
            return []

    def switch_off(self, name: str, error: PluginError, *, told: bool = False) -> None:
        """Take a plugin out for the run and note why; `told` where the error itself is raised."""
        if self._manager is not None and self._manager.has_plugin(name):
            self._manager.unregister(name=name)
        self._note(error, told=told)

    def calculators(self) -> dict[str, Calculator]:
        """Give all calculators by name; a name clash switches the later plugin off."""
        if self._calculators is None:
            self._calculators = {}
            for plugin, one in self.gather("fixbook_calculators", Calculator):
                if one.name in self._calculators:
                    self._clash(plugin, one)
                elif self.is_on(plugin):
                    self._calculators[one.name] = one
                    self._owners[one.name] = plugin
        return self._calculators

    def commands(self, taken: Iterable[str]) -> dict[str, tuple[str, Command]]:
        """Give each command by name, with its plugin; a name clash switches the later one off.

        `taken` are the names of the program's own commands.
        """
        own = set(taken)
        found: dict[str, tuple[str, Command]] = {}
        for plugin, command in self.gather("fixbook_commands", Command):
            if not self.is_on(plugin):
                continue
            if command.name not in own and command.name not in found:
                found[command.name] = (plugin, command)
                continue
            first = "fixbook's own" if command.name in own else f"one of {found[command.name][0]}"
            why = f"its command {command.name} has the name of {first}"
            self.switch_off(plugin, PluginError(plugin, why, where=line_of(command.run)))
            found = {name: one for name, one in found.items() if one[0] != plugin}
        return found

    def owner(self, calculator: str) -> str:
        """Give the plugin that a calculator came from."""
        self.calculators()
        return self._owners.get(calculator, "")

    def calculator(self, name: str) -> Calculator:
        """Give a calculator by name; CalculationError with close matches."""
        found = self.calculators()
        if name not in found:
            hint = did_you_mean(name, found, otherwise="'fixbook calc' lists them")
            raise CalculationError(
                f"there is no calculator {name!r}; {hint}",
                input="calculator",
                read=name,
                choices=close_matches(name, found),
            )
        one = found[name]
        try:
            one.inputs  # noqa: B018  # a wrong annotation shows when the form is first read
        except TypeError as error:
            where = line_of(one.function)
            wrong = PluginError(self.owner(name), f"{name}: {error}", where=where)
            self.switch_off(self.owner(name), wrong, told=True)
            raise wrong from error
        return one

    def _clash(self, plugin: str, one: Calculator) -> None:
        if not self.is_on(plugin):
            return  # another of its calculators has switched it off
        why = f"its calculator {one.name} has the name of one of {self._owners[one.name]}"
        self._owners = {name: owner for name, owner in self._owners.items() if owner != plugin}
        left = (self._calculators or {}).items()
        self._calculators = {name: other for name, other in left if name in self._owners}
        self.switch_off(plugin, PluginError(plugin, why, where=line_of(one.function)))

    def _each(self, hook: str, arguments: dict[str, object]) -> Iterator[tuple[HookImpl, Any]]:
        for impl in list(getattr(self.manager.hook, hook).get_hookimpls()):
            given = [arguments[one] for one in impl.argnames]
            place = line_of(impl.function)
            work = partial(impl.function, *given)
            for answer in self.attempt(impl.plugin_name, hook, work, place=place):
                self._traced(hook, impl.plugin_name, answer)
                yield impl, answer

    def _refuse(self, impl: HookImpl, hook: str, why: str) -> None:
        error = PluginError(impl.plugin_name, why, hook=hook, where=line_of(impl.function))
        self.switch_off(impl.plugin_name, error)

    def _note(self, error: PluginError, *, told: bool = False) -> None:
        self.errors.append(error)
        if self._on_error and not told:
            self._on_error(error)

    def _traced(self, hook: str, plugin: str, answer: object) -> None:
        if self._trace is not None:
            size = f"{len(answer)} values" if isinstance(answer, Sequence) else repr(answer)[:60]
            print(f"hook {hook} in {plugin}: {size}", file=self._trace or sys.stderr)


def _kind(answer: object) -> str:
    inside = sorted({type(one).__name__ for one in answer}) if isinstance(answer, list) else []
    return f"a list of {', '.join(inside)}" if inside else type(answer).__name__


def _names(wanted: Wanted) -> str:
    return " or ".join(one.__name__ for one in (wanted if isinstance(wanted, tuple) else (wanted,)))
