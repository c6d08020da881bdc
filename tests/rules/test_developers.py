"""DEVELOPERS.md is followed literally: its write-up is proofed, its plugin is loaded and run."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def block(language: str, beginning: str) -> str:
    """Give the fenced block of a language that begins with these words, without its indent."""
    found = re.findall(rf"^( *)```{language}\n(.*?)^\1```$", TEXT, re.DOTALL | re.MULTILINE)
    blocks = [textwrap.dedent(text) for _, text in found]
    return next(one for one in blocks if one.startswith(beginning))


PLUGIN = block("python", '"""Sums for the till."""')
WRITE_UP = block("markdown", "---\nid: amp-no-bass")


@pytest.fixture
def own(tmp_path, monkeypatch, fixbook) -> Path:
    """A new book of one's own, as `fixbook book new` makes it, open for every command."""
    folder = tmp_path / "bench-book"
    assert fixbook("book", "new", str(folder)).status == 0
    monkeypatch.setenv("FIXBOOK_BOOK", str(folder))
    return folder


def test_the_write_up_that_is_shown_is_whole(own, fixbook):
    """Whoever copies it has a write-up without a fault of form, and finds it."""
    path = own / "entries" / "power-amplifier" / "amp-no-bass.md"
    path.parent.mkdir(parents=True)
    path.write_text(WRITE_UP, encoding="utf-8")
    found = json.loads(fixbook("find", "no bass on one side", "--json").out)
    assert "amp-no-bass" in [hit["id"] for hit in found["hits"]]
    form = json.loads(fixbook("proof", str(path), "--json").out)
    assert form["files"] == 1


def test_the_plugin_that_is_shown_works_in_a_book(own, fixbook):
    """Ten lines in a book's plugins folder are a calculator, once they are trusted."""
    (own / "plugins").mkdir()
    (own / "plugins" / "till.py").write_text(PLUGIN, encoding="utf-8")
    assert fixbook("calc", "ohms-of", "5V", "1A").status == 2
    assert fixbook("book", "trust", "--yes").status == 0
    answer = json.loads(fixbook("calc", "ohms-of", "5V", "20mA", "--json").out)
    assert answer["answers"]["resistance"]["value"] == pytest.approx(250.0)


def test_the_plugin_that_is_shown_works_in_a_wheel_of_its_own(tmp_path, wheel):
    """The same lines in a package with an entry point show up without any trust."""
    source, site = tmp_path / "source", tmp_path / "site"
    (source / "my_package").mkdir(parents=True)
    (source / "my_package" / "__init__.py").write_text('"""A package."""\n', encoding="utf-8")
    (source / "my_package" / "stock.py").write_text(PLUGIN, encoding="utf-8")
    (source / "pyproject.toml").write_text(
        '[build-system]\nrequires = ["setuptools>=77"]\nbuild-backend = "setuptools.build_meta"\n'
        '[project]\nname = "my-package"\nversion = "1"\n'
        '[project.entry-points.fixbook]\nstock = "my_package.stock"\n'
        '[tool.setuptools]\npackages = ["my_package"]\n',
        encoding="utf-8",
    )
    wheel(source).extractall(site)  # all that installing a wheel of plain modules does
    script = f"import sys; sys.path.append({str(site)!r})\nfrom fixbook.cli.main import main\n"
    done = subprocess.run(
        [sys.executable, "-c", script + "main(['calc', 'ohms-of', '5V', '20mA'])"],
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert "250 ohm" in done.stdout, done.stdout + done.stderr
