"""Plugins made up for one test: of functions, or of a file's text."""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path
from types import ModuleType

import pytest

from fixbook.api import hook
from fixbook.hooks.loader import Candidate

_NUMBERS = count(1)


@pytest.fixture
def fake_plugin() -> Callable[..., Candidate]:
    """Make a candidate of functions: `fake_plugin("drawers", fixbook_words=lambda: ...)`."""

    def make(name: str = "drawers", /, **functions: Callable[..., object]) -> Candidate:
        module = ModuleType(name)
        for hook_name, function in functions.items():
            setattr(module, hook_name, hook(function))
        return Candidate(name, f"/bench/{name}.py", lambda: module)

    return make


@pytest.fixture
def plugin_text(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Candidate]:
    """Make a candidate of a module's text, imported by its path like an installed one."""
    monkeypatch.syspath_prepend(tmp_path)
    made: list[str] = []

    def make(text: str, *, name: str = "drawers") -> Candidate:
        module = f"made_up_plugin_{next(_NUMBERS)}"
        made.append(module)
        (tmp_path / f"{module}.py").write_text(text, encoding="utf-8")
        return Candidate(name, module)

    yield make
    for module in made:
        sys.modules.pop(module, None)


@pytest.fixture
def plugged(book, fixbook) -> Callable[[str], Path]:
    """Put a plugin's text into the book's own folder, and trust it."""

    def put(text: str, *, name: str = "drawers") -> Path:
        path = book.folder / "plugins" / f"{name}.py"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        done = fixbook("book", "trust", "--yes")
        assert done.status == 0, done.err
        return path

    return put
