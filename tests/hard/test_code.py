"""Nothing that comes with a book is run before its owner trusts it, and nothing as a side effect."""

from __future__ import annotations

import csv
import io
import pickle
import shutil
from pathlib import Path

import pytest

RUN = "import pathlib; pathlib.Path({mark!r}).write_text('ran')\n"
FORMULAS = ["=1+1", "-1+1", " @SUM(1)"]


class Planted:
    """Writes a mark when it is unpickled."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self):
        """Say what is called on unpickling."""
        return Path.write_text, (self.mark, "ran")


@pytest.fixture
def mark(tmp_path) -> Path:
    """Give a file that is there only if something was run."""
    return tmp_path / "mark"


def test_an_index_in_the_book_is_never_opened(book, fixbook, mark):
    """A folder that came from somebody may hold an index with pickles: nothing looks at it."""
    book.add("amp-one", title="Quibblewort hums")
    for name in (
        "index/index.json",
        ".cache/_MAIN_1.toc",
        "entries/index/_MAIN_1.toc",
        "words.json",
    ):
        path = book.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(pickle.dumps(Planted(mark)))
    assert fixbook("find", "quibblewort").status == 0
    assert not mark.exists()


def test_a_planted_pickle_in_the_cache_is_not_opened(book, fixbook, mark, isolation):
    """Every file of an index is known by its checksum, so another in its place is never unpickled."""
    book.add("amp-one", title="Quibblewort hums")
    fixbook("find", "quibblewort")
    for path in (isolation / "cache").rglob("*"):
        if path.is_file():
            path.write_bytes(pickle.dumps(Planted(mark)))
    assert (fixbook("find", "quibblewort").status, mark.exists()) == (0, False)


def test_no_code_of_a_book_is_run_unasked(book, fixbook, mark, monkeypatch):
    """Wherever a program lies in a book, and wherever one is, no command runs it."""
    book.add("amp-one")
    for name in ("plugins/one.py", "conftest.py", "sitecustomize.py", "entries/one.py",
                 "fixbook_plugins.py", "yaml.py", "whoosh/__init__.py", "plugins/__init__.py",
                 "plugins/deep/one.py"):  # fmt: skip
        path = book.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(RUN.format(mark=str(mark)))
    monkeypatch.chdir(book.folder)
    for words in (("find", "hum"), ("sheet", "amp-one"), ("proof",), ("calc",), ("book", "where"),
                  ("book", "backup", str(mark.with_name("b.zip")))):  # fmt: skip
        fixbook(*words)
    assert not mark.exists()


def test_a_template_in_a_write_up_stays_text(book, fixbook):
    """What a template language would run is shown as it stands."""
    book.add("amp-one", body="\n## Step by step\n\n1. See {{7+77}} ${7+77}.\n")
    out = fixbook("sheet", "amp-one").out
    assert ("{{7+77}} ${7+77}" in out, "84" in out) == (True, False)


@pytest.mark.parametrize("editor", ["true; touch {mark}", "$(touch {mark})", "`touch {mark}`"])  # fmt: skip
def test_an_editors_name_is_no_shell_command(editor, book, fixbook, mark, monkeypatch):
    """Signs of a shell in the name of an editor are words, and start nothing else."""
    monkeypatch.setenv("VISUAL", editor.format(mark=mark))
    fixbook("write", "amp-new", "--unit", "test-amp", "--title", "Hum")
    assert not mark.exists()


@pytest.mark.parametrize("formula", FORMULAS, ids=ascii)
def test_no_formula_leaves_in_an_export(formula, book, fixbook):
    """A cell that a spreadsheet would run gets a quote before it, whichever field it is from."""
    fixbook("job", "new", "--unit", "test-amp", f"--complaint={formula}",
            f"--shelf={formula}", f"--serial={formula}")  # fmt: skip
    rows = list(csv.reader(io.StringIO(fixbook("job", "export", "--csv").out)))
    assert len(rows) == 2
    assert [cell for cell in rows[1] if cell.lstrip(" \n").startswith(tuple("=+-@\t\r"))] == []


def test_a_restored_book_runs_nothing(book, fixbook, mark):
    """A backup that came from somebody brings its plugins along, and no trust in them."""
    (book.folder / "plugins").mkdir()
    (book.folder / "plugins" / "one.py").write_text(RUN.format(mark=str(mark)))
    fixbook("book", "backup", "b.zip")
    shutil.rmtree(book.folder)
    fixbook("book", "restore", "b.zip", str(book.folder))
    fixbook("find", "hum")
    assert not mark.exists()
