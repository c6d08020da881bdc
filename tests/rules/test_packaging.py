"""Promises about the package: what is listed is what is there."""

from __future__ import annotations

import importlib
import tomllib
from importlib.metadata import entry_points
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
FOLDERS = {"fixbook": "fixbook", "fixbook_plugins": "plugins", "fixbook_entries": "entries"}


def test_every_folder_with_modules_is_listed_as_a_package():
    """A package that is not listed works from the source folder and is missing from a wheel."""
    found = {
        ".".join([name, *path.parent.relative_to(ROOT / folder).parts])
        for name, folder in FOLDERS.items()
        for path in (ROOT / folder).rglob("__init__.py")
    }
    assert set(PROJECT["tool"]["setuptools"]["packages"]) == found


def test_every_bundled_plugin_has_its_entry_point():
    """A plugin without an entry point is never loaded; one without a module breaks the start."""
    modules = {
        path.stem if path.is_file() else path.name
        for path in (ROOT / "plugins").iterdir()
        if (path.suffix == ".py" and not path.name.startswith("_"))
        or (path / "__init__.py").is_file()
    }
    installed = {
        point.name: point.value
        for point in entry_points(group="fixbook")
        if point.value.startswith("fixbook_plugins")
    }
    assert installed == {name: f"fixbook_plugins.{name}" for name in modules}


def test_the_three_packages_come_from_one_place():
    """Half of the program from the source folder and half from site-packages is a split copy."""
    roots = {
        Path(importlib.import_module(name).__path__[0]).resolve().parent
        if name == folder or Path(importlib.import_module(name).__path__[0]).name == folder
        else None
        for name, folder in FOLDERS.items()
    }
    assert len(roots) == 1


def test_the_top_level_holds_what_it_should():
    """Nothing else lies at the top, dot files apart, where git keeps the files."""
    import subprocess

    done = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False, timeout=60
    )
    tops = {line.split("/", 1)[0] for line in done.stdout.splitlines()}
    shown = {name for name in tops if not name.startswith(".")}
    whole = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "fixbook", "plugins", "entries", "tests",
    }  # fmt: skip
    assert shown <= whole


def test_a_wheel_holds_every_write_up(tmp_path, wheel):
    """What is in the starter book's folder is in the wheel, and nothing else of its kind."""
    import shutil

    source = tmp_path / "source"
    ignored = shutil.ignore_patterns("build", "*.egg-info", ".git", "tests", "__pycache__", ".*")
    shutil.copytree(ROOT, source, ignore=ignored)
    names = set(wheel(source).namelist())
    wanted = {
        f"fixbook_entries/{path.relative_to(ROOT / 'entries').as_posix()}"
        for ending in ("md", "yaml", "svg")
        for path in (ROOT / "entries").rglob(f"*.{ending}")
    }
    wanted |= {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "fixbook" / "demo" / "book").rglob("*")
        if path.suffix in (".md", ".yaml", ".svg")
    }
    kept = {name for name in names if name.endswith((".md", ".yaml", ".svg"))}
    assert {name for name in kept if ".dist-info/" not in name} == wanted
