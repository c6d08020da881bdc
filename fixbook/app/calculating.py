"""Finding a calculator without importing every plugin, and running it."""

from __future__ import annotations

import inspect
import json
from collections.abc import Mapping, Sequence

from fixbook.app.kept import keep, read_kept, texts
from fixbook.app.library import LAYOUT, Library
from fixbook.app.pluginlist import candidates, plugin_stamp
from fixbook.app.trusted import off_note
from fixbook.core.calculation import AnswerFaultError, Result, assign, fill, is_named, run
from fixbook.core.calculator import Calculator
from fixbook.core.input_order import order_hint
from fixbook.errors import CalculationError, FixbookError, PluginError
from fixbook.hooks.loader import failure, line_of
from fixbook.hooks.registry import Registry

FILE = "calculators.json"


def find_calculator(library: Library, name: str) -> Calculator:
    """Give a calculator by name, importing only its plugin; CalculationError otherwise."""
    owner = _owners(library).get(name)
    if owner is not None:
        one = [candidate for candidate in candidates(library.plugins) if candidate.name == owner]
        registry = Registry(one)
        if name in registry.calculators():
            return registry.calculator(name)
    found = any_calculator(library, name)
    _remember(library)
    return found


def any_calculator(library: Library, name: str) -> Calculator:
    """Give a calculator by name from all plugins; CalculationError with close matches, and with
    the book's plugins that are off: it may be one of theirs."""
    try:
        return library.registry.calculator(name)
    except CalculationError as error:
        error.hint = off_note(library)
        raise


def calculate(calculator: Calculator, words: Sequence[str]) -> Result:
    """Run a calculator on words as typed: `name=value`, or values in the inputs' order."""
    return run_guarded(calculator, assign_read(calculator, words))


def assign_read(calculator: Calculator, words: Sequence[str]) -> dict[str, list[str]]:
    """Give each input the texts typed for it, all of which can be read; some may be missing.

    CalculationError otherwise; where a value that was typed in order does not fit, it says the
    order of the inputs.
    """
    given = assign(calculator, words)
    try:
        fill(calculator, given)
    except CalculationError as error:
        named = assign(calculator, [word for word in words if is_named(word)])
        placed = error.input in given and error.input not in named
        said = error.hint or error.choices  # what would be right there is told already
        if placed and not said and not calculator.input(error.input).many:
            error.hint = order_hint(calculator, given, named)
        raise
    return given


def run_guarded(calculator: Calculator, given: Mapping[str, Sequence[str]]) -> Result:
    """Run a calculator on the texts of each input; PluginError where its own code fails."""
    try:
        return run(calculator, given)
    except FixbookError:
        raise
    except Exception as error:
        name = calculator.module.rpartition("fixbook_book_")[2]
        place = line_of(calculator.function)
        if isinstance(error, AnswerFaultError):  # in words for whoever wrote it
            raise PluginError(name, str(error), hook=calculator.name, where=place) from error
        raise failure(name, error, hook=calculator.name, place=place) from error


def calculate_from(calculator: Calculator, inputs: Mapping[str, object]) -> Result:
    """Run a calculator on the inputs of a JSON object: texts, numbers or lists of them."""
    given: dict[str, list[str]] = {}
    for name, value in inputs.items():
        values = value if isinstance(value, list) else [value]
        texts = [one if isinstance(one, str) else json.dumps(one) for one in values]
        full = calculator.input(name).name
        if full in given:
            why = f"{full} was given twice"
            raise CalculationError(why, input=full, read="; ".join(texts))
        given[full] = texts
    return run_guarded(calculator, given)


def grouped(library: Library) -> list[tuple[str, list[Calculator]]]:
    """Give all calculators by what they are for: each plugin's first line, and its own."""
    registry = library.registry
    groups: dict[str, list[Calculator]] = {}
    for name, one in registry.calculators().items():
        groups.setdefault(registry.owner(name), []).append(one)
    _remember(library)
    return [(_heading(registry, plugin), found) for plugin, found in groups.items()]


def _heading(registry: Registry, plugin: str) -> str:
    module = registry.manager.get_plugin(plugin)
    first = (inspect.getdoc(module) or plugin).split("\n", 1)[0]
    return first.rstrip(".")


def _owners(library: Library) -> dict[str, str]:
    path = library.kept_path(FILE)
    kept = read_kept(path) if path else {}
    return texts(kept.get("owners")) if kept.get("stamp") == _stamp(library) else {}


def _remember(library: Library) -> None:
    registry = library.registry
    installed = {name for name, _, _ in library.plugins}
    owners = {name: registry.owner(name) for name in registry.calculators()}
    owners = {name: owner for name, owner in owners.items() if owner in installed}
    if path := library.kept_path(FILE):
        keep(path, {"stamp": _stamp(library), "owners": owners})


def _stamp(library: Library) -> str:
    return f"{LAYOUT} {plugin_stamp(library.plugins)}"
