"""The plugins of a run: calling their hooks, and switching off the one that fails."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from typing import Any, TextIO

import pluggy

from fixbook.core.calculator import Calculator
from fixbook.core.problems import did_you_mean
from fixbook.errors import CalculationError, FixbookError, PluginError
from fixbook.hooks.loader import Candidate, failure, line_of, load, new_manager


class Registry:
    """Loads plugins when a hook is first called and collects what they give.

    `errors` holds every failure; `on_error` is told of each as it happens.
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
            load(self._manager, self._candidates, found := [])
            for error in found:
                self._note(error)
        return self._manager

    def names(self) -> list[str]:
        """Give the names of the plugins that are on."""
        return [name for name, plugin in self.manager.list_name_plugin() if plugin is not None]

    def call(self, hook: str, **arguments: object) -> list[tuple[str, Any]]:
        """Call one hook in every plugin, one by one: each plugin's name and what it gave.

        A plugin that raises is switched off and named; the others are called all the same.
        FixbookError passes through: it is an answer to the user.
        """
        answers = []
        for impl in list(getattr(self.manager.hook, hook).get_hookimpls()):
            name = impl.plugin_name
            try:
                answer = impl.function(*(arguments[one] for one in impl.argnames))
                answers.append((name, answer))
            except FixbookError:
                raise
            except KeyboardInterrupt:
                raise
            except BaseException as error:
                self.switch_off(name, failure(name, error, hook=hook))
            else:
                self._traced(hook, name, answer)
        return answers

    def gather(
        self, hook: str, wanted: type | tuple[type, ...], **arguments: object
    ) -> list[tuple[str, Any]]:
        """Call a hook that gives a list; one that gives anything else is switched off."""
        found = []
        for name, answer in self.call(hook, **arguments):
            listed = list(answer) if isinstance(answer, (list, tuple)) else None
            if listed is None or not all(isinstance(one, wanted) for one in listed):
                self.switch_off(
                    name,
                    PluginError(
                        name,
                        f"it gave {_kind(answer)}, not a list of {_names(wanted)}",
                        hook=hook,
                    ),
                )
                continue
            found += [(name, one) for one in listed]
        return found

    def switch_off(self, name: str, error: PluginError) -> None:
        """Take a plugin out for the run and note why."""
        if self._manager is not None and self._manager.has_plugin(name):
            self._manager.unregister(name=name)
        self._note(error)

    def calculators(self) -> dict[str, Calculator]:
        """Give all calculators by name; a name clash switches the later plugin off."""
        if self._calculators is None:
            self._calculators = {}
            for plugin, one in self.gather("fixbook_calculators", Calculator):
                if one.name in self._calculators:
                    self._clash(plugin, one)
                elif self.manager.has_plugin(plugin):
                    self._calculators[one.name] = one
                    self._owners[one.name] = plugin
        return self._calculators

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
                choices=_near(name, found),
            )
        return found[name]

    def _clash(self, plugin: str, one: Calculator) -> None:
        first = self._owners[one.name]
        self._calculators = {
            name: other
            for name, other in (self._calculators or {}).items()
            if self._owners[name] != plugin
        }
        why = f"its calculator {one.name} has the name of one of {first}"
        self.switch_off(plugin, PluginError(plugin, why, where=line_of(one.function)))

    def _note(self, error: PluginError) -> None:
        self.errors.append(error)
        if self._on_error:
            self._on_error(error)

    def _traced(self, hook: str, plugin: str, answer: object) -> None:
        if self._trace is not None:
            size = f"{len(answer)} values" if isinstance(answer, Sequence) else repr(answer)[:60]
            print(f"hook {hook} in {plugin}: {size}", file=self._trace or sys.stderr)


def _kind(answer: object) -> str:
    inside = sorted({type(one).__name__ for one in answer}) if isinstance(answer, list) else []
    return f"a list of {', '.join(inside)}" if inside else type(answer).__name__


def _names(wanted: type | tuple[type, ...]) -> str:
    return " or ".join(one.__name__ for one in (wanted if isinstance(wanted, tuple) else (wanted,)))


def _near(name: str, known: Iterable[str]) -> list[str]:
    from fixbook.core.problems import close_matches

    return list(close_matches(name, known))
