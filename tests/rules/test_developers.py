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
MEMO = block("python", '"""Lines to remember')
SHAPES = block("text", "Answer(values")
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
        '[build-system]\nrequires = ["setuptools>=78.1.1"]\nbuild-backend = "setuptools.build_meta"\n'
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


@pytest.fixture
def memo(own, fixbook) -> Path:
    """The plugin of several hooks, trusted in a book, with one memo; gives its file."""
    (own / "plugins").mkdir()
    (own / "plugins" / "memo.py").write_text(MEMO, encoding="utf-8")
    assert fixbook("book", "trust", "--yes").status == 0
    assert fixbook("memo", "amp-dc-offset", "try", "the", "quibblewort").status == 0
    return own / "memos.txt"


def test_the_plugin_of_several_hooks_shows_on_the_sheet_and_is_found(memo, fixbook):
    """Its command writes, its blocks stand on the sheet, its documents are searched."""
    assert "try the quibblewort" in fixbook("sheet", "amp-dc-offset").out
    hits = json.loads(fixbook("find", "quibblewort", "--kind", "memo", "--json").out)["hits"]
    assert [hit["title"] for hit in hits] == ["try the quibblewort"]


def test_the_plugin_of_several_hooks_proofs_and_is_backed_up(memo, own, fixbook, tmp_path):
    """Its rule finds what it looks for, and its file is in the archive."""
    path = own / "entries" / "power-amplifier" / "amp-no-bass.md"
    path.parent.mkdir(parents=True)
    path.write_text(WRITE_UP, encoding="utf-8")
    fixbook("memo", "amp-no-bass", "a" * 250)
    assert "a memo of over 200 letters" in fixbook("proof", str(path)).out
    fixbook("book", "backup", str(tmp_path / "all.zip"))
    assert b"memos.txt" in (tmp_path / "all.zip").read_bytes()


def test_the_shapes_that_are_shown_are_those_of_the_library():
    """Names, order, and which may be left out, as the signatures have them."""
    import inspect

    import fixbook.api

    for name, shown in re.findall(r"^(\w+)\(([^)]*)\)", SHAPES, re.MULTILINE):
        signature = inspect.signature(getattr(fixbook.api, name))
        found = [
            f"{one.name}{'' if one.default is one.empty else '='}"
            for one in signature.parameters.values()
        ]
        assert ", ".join(found) == shown, name
