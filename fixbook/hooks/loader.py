"""Loading plugins one by one: a bad one is named and left out, the rest goes on."""

from __future__ import annotations

import importlib
import inspect
import os
import sysconfig
import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import ModuleType
from typing import Any, cast

import pluggy

import fixbook
from fixbook.core.problems import close_matches
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

    @property
    def place(self) -> str:
        """Its file and first line, where it is a file; else empty."""
        return f"{self.module}:1" if self.load else ""


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
            if manager.has_plugin(candidate.name):
                raise PluginFaultError("another plugin has this name already", candidate.place)
            module = candidate.load() if candidate.load else _import(candidate.module)
            _check_functions(module)
            manager.register(module, name=candidate.name)
        except KeyboardInterrupt:
            raise
        except BaseException as error:  # noqa: BLE001  # it may call sys.exit while imported
            errors.append(failure(candidate.name, error, place=candidate.place))


def _import(reference: str) -> ModuleType:
    path, _, inside = reference.partition(":")
    found: Any = importlib.import_module(path)
    for part in inside.split(".") if inside else ():
        found = getattr(found, part)
    return cast(ModuleType, found)


class PluginFaultError(Exception):
    """What is wrong with a plugin, in words, and the place in its file."""

    def __init__(self, why: str, where: str = "") -> None:
        super().__init__(why)
        self.where = where


def failure(name: str, error: BaseException, *, hook: str = "", place: str = "") -> PluginError:
    """Name a plugin's failure with the file and line where it happened, or else with `place`."""
    found = PluginError(name, _sentence(error), hook=hook, where=where_in(error) or place)
    found.__cause__ = error
    return found


def where_in(error: BaseException) -> str:
    """Give `file:line` of the innermost frame of the plugin's own folder; empty where none is."""
    if isinstance(error, PluginFaultError):
        return error.where
    if isinstance(error, SyntaxError) and error.filename:
        return f"{error.filename}:{error.lineno or 1}"
    frames = [
        frame
        for frame in traceback.extract_tb(error.__traceback__)
        if not frame.filename.startswith("<") and not _is_ours(frame.filename)
    ]
    if not frames:
        return ""
    home = os.path.dirname(frames[0].filename)  # what it calls elsewhere is not its own
    last = [frame for frame in frames if frame.filename.startswith(home)][-1]
    return f"{last.filename}:{last.lineno}"


def _is_ours(file: str) -> bool:
    """Say whether a file is fixbook's, pluggy's or Python's own, so no plugin's."""
    if "site-packages" in file:
        return file.startswith((_folder(fixbook), _folder(pluggy)))
    standard = sysconfig.get_path("stdlib") + os.sep
    return file.startswith((_folder(fixbook), _folder(pluggy), standard))


def _folder(package: ModuleType) -> str:
    return os.path.dirname(package.__file__ or "") + os.sep


def line_of(function: object) -> str:
    """Give `file:line` where a function is defined; empty where that is not known."""
    code = getattr(function, "__code__", None)
    return f"{code.co_filename}:{code.co_firstlineno}" if code else ""


def _check_functions(module: ModuleType) -> None:
    known = [name for name in vars(specs) if name.startswith(PREFIX)]
    for name, value in vars(module).items():
        if not name.startswith(PREFIX) or not (callable(value) or name in known):
            continue
        if name not in known:
            hint = _near(name, known)
            raise PluginFaultError(f"{name} is no hook; {hint}", line_of(value))
        if getattr(value, "fixbook_impl", None) is None:
            raise PluginFaultError(f"{name} is not marked: put @hook above it", line_of(value))
        _check_arguments(name, value)


def _near(name: str, known: list[str]) -> str:
    rest = [one.removeprefix(PREFIX) for one in known]  # the prefix alone would make all alike
    found = close_matches(name.removeprefix(PREFIX), rest)
    names = [PREFIX + one for one in found or rest]
    return f"did you mean {' or '.join(names)}?" if found else f"known: {', '.join(names)}"


def _check_arguments(name: str, function: Callable[..., object]) -> None:
    given = list(inspect.signature(getattr(specs, name)).parameters)
    wanted = [
        one.name
        for one in inspect.signature(function).parameters.values()
        if one.default is one.empty and one.kind not in (one.VAR_POSITIONAL, one.VAR_KEYWORD)
    ]
    if unknown := [one for one in wanted if one not in given]:
        raise PluginFaultError(
            f"{name} takes {', '.join(given) or 'no arguments'}, not {', '.join(unknown)}",
            line_of(function),
        )


def _sentence(error: BaseException) -> str:
    if isinstance(error, (PluginFaultError, pluggy.PluginValidationError)):
        return " ".join(str(error).split())
    if isinstance(error, SystemExit):
        return "it tried to end the program"
    return f"{type(error).__name__}: {' '.join(str(error).split())}"
