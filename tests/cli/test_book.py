"""`fixbook book`: making one, saying which one is open, refreshing its index."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest


def test_a_new_book_is_a_book(fixbook, isolation):
    """`book new DIR` makes what a book needs, and every command opens it."""
    ran = fixbook("book", "new", "bench")
    assert (ran.status, ran.err) == (0, "")
    where = json.loads(fixbook("--book", "bench", "book", "where", "--json").out)
    assert where["book"] == str(isolation / "bench")
    assert fixbook("--book", "bench", "proof").status == 0


def test_a_new_book_has_its_folders_and_files(fixbook, isolation):
    """Entries, vocabulary and pictures have their folders; settings and what to ignore, files."""
    fixbook("book", "new", "bench")
    found = {
        str(path.relative_to(isolation / "bench")) for path in Path("bench").absolute().rglob("*")
    }
    assert found == {
        ".gitignore", "entries", "entries/pictures", "entries/vocabulary", "fixbook.toml",
    }  # fmt: skip


def test_new_as_json_lists_what_was_made(fixbook, isolation):
    """A script learns which files are new."""
    made = json.loads(fixbook("book", "new", "bench", "--json").out)
    assert (made["book"], len(made["made"])) == (str(isolation / "bench"), 2)


@pytest.mark.parametrize("name", ['a "quoted" \\ name', "tab\there", "電源", "new\nline"])
def test_the_settings_of_a_new_book_can_be_read(name, fixbook, isolation):
    """Whatever the folder is called, the settings file is good TOML with its name."""
    assert fixbook("book", "new", name).status == 0
    text = (isolation / name / "fixbook.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text)["name"] == name.replace("\t", " ").replace("\n", " ")


def test_the_folder_one_is_in_becomes_a_book_with_its_name(fixbook, isolation, monkeypatch):
    """`book new .` names the book after the folder."""
    (isolation / "bench").mkdir()
    monkeypatch.chdir(isolation / "bench")
    fixbook("book", "new", ".")
    assert tomllib.loads(Path("fixbook.toml").read_text(encoding="utf-8"))["name"] == "bench"


def test_a_book_is_never_made_twice(fixbook):
    """A second `book new` refuses, and touches nothing."""
    fixbook("book", "new", "bench")
    Path("bench/fixbook.toml").write_text('name = "mine"\n', encoding="utf-8")
    ran = fixbook("book", "new", "bench")
    assert (ran.status, "is a book already" in ran.err) == (2, True)
    assert Path("bench/fixbook.toml").read_text(encoding="utf-8") == 'name = "mine"\n'


def test_a_folder_with_files_becomes_a_book_and_loses_none(fixbook):
    """What was in the folder stays as it is."""
    Path("bench").mkdir()
    Path("bench/.gitignore").write_text("mine\n", encoding="utf-8")
    fixbook("book", "new", "bench")
    assert Path("bench/.gitignore").read_text(encoding="utf-8") == "mine\n"


def test_a_book_cannot_be_made_under_a_file(fixbook):
    """A place that cannot be a folder is told with what to do."""
    Path("file").write_text("x", encoding="utf-8")
    ran = fixbook("book", "new", "file/bench")
    assert (ran.status, "cannot be made" in ran.err) == (2, True)


def test_new_needs_a_folder(fixbook):
    """Without a folder the command says how it is used."""
    ran = fixbook("book", "new")
    assert (ran.status, "fixbook book new DIR" in ran.err) == (2, True)


def test_an_unknown_action_has_close_matches(fixbook):
    """`book wher` names `where`."""
    ran = fixbook("book", "wher")
    assert (ran.status, "did you mean where?" in ran.err) == (2, True)


def test_where_says_which_book_and_how_it_was_found(book, fixbook):
    """Folder, how it was found, write-ups of each shelf, and the index."""
    book.add("amp-one")
    where = json.loads(fixbook("book", "where", "--json").out)
    assert (where["book"], where["said_by"], where["files"]) == (
        str(book.folder), "FIXBOOK_BOOK", {"own": 1},
    )  # fmt: skip
    assert where["plugins_off"] == []


def test_where_without_a_book_of_ones_own(fixbook):
    """The starter book alone is said to be alone."""
    where = json.loads(fixbook("book", "where", "--json").out)
    assert (where["book"], where["said_by"], list(where["files"])) == (None, "nothing", ["starter"])


def test_refresh_reads_what_changed(book, fixbook):
    """The first refresh makes the index, a second one has nothing to do but what is too fresh."""
    book.add("amp-one")
    first = json.loads(fixbook("book", "refresh", "--json").out)
    assert (first["read"], first["rebuilt"], first["busy"], first["faulty"]) == (1, True, False, 0)
    assert json.loads(fixbook("book", "refresh", "--json").out)["rebuilt"] is False


def test_refresh_counts_what_is_faulty(book, fixbook):
    """Write-ups with faults, and those that cannot be used at all, are counted."""
    book.add("amp-one", text="words")
    found = json.loads(fixbook("book", "refresh", "--json").out)
    assert (found["faulty"], found["unusable"]) == (1, 1)
    assert "'fixbook proof' says which" in fixbook("book", "refresh").out
