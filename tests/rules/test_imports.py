"""Promises about imports: which way they point, and what a command does not pay for."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import fixbook.api

ROOT = Path(__file__).parents[2]


def test_import_contracts_hold():
    """Layers point downwards, the core is plain, plugins use the front door."""
    linter = shutil.which("lint-imports", path=str(Path(sys.executable).parent))
    if linter is None:
        pytest.skip("import-linter is not installed beside this Python; the test extra has it")
    done = subprocess.run(
        [linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False, timeout=110
    )
    assert done.returncode == 0, done.stdout + done.stderr


def modules_after(script: str) -> set[str]:
    """Give the modules that a fresh interpreter has loaded after a script."""
    done = subprocess.run(
        [sys.executable, "-c", f"{script}\nimport sys\nprint()\nprint('MODULES', *sys.modules)"],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    last = done.stdout.rstrip().rsplit("\n", 1)[-1]
    assert last.startswith("MODULES"), done.stdout
    return set(last.split())


RUN = "from fixbook.cli.main import main\nmain({words!r}.split())\n"


@pytest.mark.parametrize(
    ("words", "never"),
    [
        ("find hum", {"yaml", "markdown_it", "pluggy", "numpy", "prompt_toolkit", "quantiphy"}),
        ("sheet hum-dried-reservoir", {"whoosh", "numpy", "prompt_toolkit", "sqlalchemy"}),
        ("calc divider 12V 10k 4k7", {"whoosh", "yaml", "markdown_it", "prompt_toolkit"}),
    ],
    ids=["find", "sheet", "calc"],
)
def test_a_second_command_loads_nothing_heavy_that_it_does_not_need(words, never, indexed_starter):
    """Once the cache is made, a command imports only what its answer needs."""
    script = RUN.format(words=words)
    modules_after(script)
    assert modules_after(script) & never == set()


def test_the_core_loads_no_library_but_those_it_may():
    """Entries, vocabulary and calculators are plain Python."""
    loaded = modules_after("import fixbook.core.schema, fixbook.core.calculation")
    heavy = {"yaml", "whoosh", "markdown_it", "pluggy", "prompt_toolkit", "numpy", "quantiphy"}
    assert loaded & heavy == set()


def test_the_public_surface_is_listed_and_sorted():
    """What a plugin may import is exactly what the list says."""
    public = {name for name in vars(fixbook.api) if not name.startswith("_")}
    listed = fixbook.api.__all__
    assert (set(listed), list(listed)) == (public - {"annotations", "Annotated", "HookimplMarker"},
                                           sorted(listed))  # fmt: skip
