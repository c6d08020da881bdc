"""Promises about words: tests say what they hold, nothing cites what it came from."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))


def test_every_test_says_what_it_promises():
    """A test without a sentence cannot be judged when it fails."""
    silent = [
        f"{path.relative_to(ROOT)}:{node.lineno} {node.name}"
        for path in TESTS
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef)
        and node.name.startswith("test_")
        and not ast.get_docstring(node)
    ]
    assert silent == []


def test_no_test_sleeps():
    """Waiting for time to pass makes tests slow and chancy."""
    word = re.compile(r"\btime\.sleep\(|\bfrom time import sleep")
    own = Path(__file__).name
    found = [path.name for path in TESTS if path.name != own and word.search(path.read_text())]
    assert found == []


def test_nothing_is_left_unfinished():
    """No marker of unfinished work stands in the program."""
    words = re.compile("|".join(["TO" + "DO", "FIX" + "ME", "X" * 3, "NotImplemented" + "Error"]))
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for folder in ("fixbook", "plugins")
        for path in sorted((ROOT / folder).rglob("*.py"))
        for number, line in enumerate(path.read_text(encoding="utf-8").split("\n"), 1)
        if words.search(line)
    ]
    assert found == []


@pytest.mark.parametrize("folder", ["fixbook", "plugins"])
def test_no_module_is_too_long_to_read(folder):
    """A module past 300 lines is two modules."""
    long = {
        str(path.relative_to(ROOT)): size
        for path in sorted((ROOT / folder).rglob("*.py"))
        if (size := len(path.read_text(encoding="utf-8").split("\n"))) > 301
    }
    assert long == {}


def test_no_network_address_stands_in_the_program():
    """The program never asks a network for anything."""
    found = subprocess.run(
        ["git", "grep", "-nIE",
         r"https?://[a-z0-9]|urllib\.request|http\.client|(import|from) socket|socket\.", "--",
         "fixbook/*.py", "plugins/*.py"],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    names = "http://www.w3.org/2000/svg"  # what drawings are written in; nobody asks there
    assert [line for line in found.stdout.splitlines() if names not in line] == []
