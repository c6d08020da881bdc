"""Promises about the two documents: what they show is true."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

from fixbook.hooks import specs

ROOT = Path(__file__).parents[2]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
HOOKS = sorted(name for name in vars(specs) if name.startswith("fixbook_"))


def signature(name: str) -> str:
    """Write a hook's signature the way the reference shows it."""
    found = inspect.signature(getattr(specs, name))
    arguments = ", ".join(f"{one.name}: {one.annotation}" for one in found.parameters.values())
    return f"### `{name}({arguments}) -> {found.return_annotation}`"


@pytest.mark.parametrize("name", HOOKS)
def test_hook_is_documented_with_its_exact_signature(name):
    """A plugin's author can trust the reference."""
    assert signature(name) in DEVELOPERS


@pytest.mark.parametrize("name", HOOKS)
def test_hook_is_used_by_a_bundled_plugin(name):
    """A hook that no plugin of ours uses has never been proved."""
    users = [
        path
        for path in sorted((ROOT / "plugins").rglob("*.py"))
        if re.search(rf"^def {name}\(", path.read_text(encoding="utf-8"), re.MULTILINE)
    ]
    assert users


@pytest.mark.parametrize("name", HOOKS)
def test_hook_has_a_test_that_proves_its_call(name):
    """A hook is called where its specification says."""
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "tests/hooks").glob("*.py")]
    assert any(name in text for text in texts)


def test_no_documented_hook_is_gone():
    """The reference names no hook that there is not."""
    assert set(re.findall(r"^### `(fixbook_\w+)\(", DEVELOPERS, re.MULTILINE)) == set(HOOKS)
