"""Loading plugins one by one: a bad one is named and left out, the rest goes on."""

from __future__ import annotations

import importlib
import sys
import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import ModuleType
from typing import Any, cast

import pluggy
from pluggy import HookImpl

from fixbook.core.problems import did_you_mean
from fixbook.errors import PluginError
from fixbook.hooks import specs

PREFIX = "fixbook_"


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plugin that could be loaded: its name, and how to get its module."""

    name: str
    module: str
    """Import path; for a trusted file of the book, the path of the file."""
    load: Callable[[], ModuleType] | None = None
    """Gives the module; None: it is imported by its path."""


def installed() -> list[Candidate]:
    """List the plugins of installed packages: the bundled ones first, then by name."""
    from importlib.metadata import entry_points  # 35 ms; the caller keeps the answer

    found = {point.name: point.value for point in entry_points(group="fixbook")}
    ordered = sorted(found, key=lambda name: (not found[name].startswith("fixbook_plugins"), name))
    return [Candidate(name, found[name]) for name in ordered]


def new_manager() -> pluggy.PluginManager:
    """Make a plugin manager that knows the hooks and has no plugin yet."""
    manager = pluggy.PluginManager("fixbook")
    manager.add_hookspecs(specs)
    return manager


def load(
    manager: pluggy.PluginManager, candidates: Iterable[Candidate], errors: list[PluginError]
) -> None:
    """Register each plugin; one that cannot be is named in `errors` and left out."""
    for candidate in candidates:
        try:
            module = candidate.load() if candidate.load else _import(candidate.module)
            _check_names(module)
            manager.register(module, name=candidate.name)
            _check_hooks(manager, module)
        except KeyboardInterrupt:
            raise
        except BaseException as error:  # a plugin may even call sys.exit while it is imported
            if manager.has_plugin(candidate.name):
                manager.unregister(name=candidate.name)
            errors.append(failure(candidate.name, error))


def _import(reference: str) -> ModuleType:
    path, _, inside = reference.partition(":")
    found: Any = importlib.import_module(path)
    for part in inside.split(".") if inside else ():
        found = getattr(found, part)
    return cast(ModuleType, found)


def failure(name: str, error: BaseException, *, hook: str = "") -> PluginError:
    """Name a plugin's failure with the file and line where it happened."""
    found = PluginError(name, _sentence(error), hook=hook, where=where_in(error))
    found.__cause__ = error
    return found


def where_in(error: BaseException) -> str:
    """Give `file:line` of the innermost frame outside fixbook and pluggy; empty where none is."""
    if isinstance(error, SyntaxError) and error.filename:
        return f"{error.filename}:{error.lineno or 1}"
    frames = traceback.extract_tb(error.__traceback__)
    skip = ("importlib", "pluggy", f"fixbook{_sep()}hooks")
    own = [frame for frame in frames if not any(part in frame.filename for part in skip)]
    last = own[-1] if own else None
    return f"{last.filename}:{last.lineno}" if last else ""


def line_of(function: object) -> str:
    """Give `file:line` where a function is defined; empty where that is not known."""
    code = getattr(function, "__code__", None)
    return f"{code.co_filename}:{code.co_firstlineno}" if code else ""


class HookNameError(Exception):
    """A function that looks like a hook and is none."""


def _check_names(module: ModuleType) -> None:
    known = [name for name in vars(specs) if name.startswith(PREFIX)]
    for name, value in vars(module).items():
        if name.startswith(PREFIX) and callable(value) and name not in known:
            hint = did_you_mean(name, known, otherwise=f"known: {', '.join(known)}")
            raise HookNameError(f"{name} is no hook; {hint} ({line_of(value)})")
        marked = getattr(value, "fixbook_impl", None) is not None
        if name in known and not marked:
            raise HookNameError(f"{name} is not marked: put @hook above it ({line_of(value)})")


def _check_hooks(manager: pluggy.PluginManager, module: ModuleType) -> None:
    for call in manager.get_hookcallers(module) or ():
        for impl in call.get_hookimpls():
            if impl.plugin is module:
                _verify(manager, call, impl)


def _verify(manager: pluggy.PluginManager, call: pluggy.HookCaller, impl: HookImpl) -> None:
    spec = call.spec
    unknown = set(impl.argnames) - set(spec.argnames) if spec else set()
    if unknown:
        raise HookNameError(
            f"{call.name} takes {', '.join(spec.argnames) if spec else ''}, "
            f"not {', '.join(sorted(unknown))} ({line_of(impl.function)})"
        )


def _sentence(error: BaseException) -> str:
    if isinstance(error, (HookNameError, pluggy.PluginValidationError)):
        return " ".join(str(error).split())
    if isinstance(error, SystemExit):
        return "it tried to end the program"
    return f"{type(error).__name__}: {' '.join(str(error).split())}"


def _sep() -> str:
    return "\\" if sys.platform == "win32" else "/"
