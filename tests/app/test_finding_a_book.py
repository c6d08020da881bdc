"""Which book is meant: --book, FIXBOOK_BOOK, the nearest parent, the data folder, none."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from fixbook.errors import BookError
from fixbook.settings import find_book


@pytest.fixture
def places(tmp_path) -> dict[str, Path]:
    """Make a book in each of the places where one is looked for."""
    named = {
        "option": tmp_path / "option",
        "environment": tmp_path / "environment",
        "here": tmp_path / "shop",
        "data": tmp_path / "data" / "book",
    }
    for folder in named.values():
        folder.mkdir(parents=True)
        (folder / "fixbook.toml").write_text('name = "one"\n', encoding="utf-8")
    (named["here"] / "entries" / "radio").mkdir(parents=True)
    return named


def test_the_option_comes_first(places):
    """--book holds over everything else."""
    environment = {"FIXBOOK_BOOK": str(places["environment"])}
    found = find_book(str(places["option"]), environment, places["here"], places["data"].parent)
    assert (found.folder, found.said_by) == (places["option"], "--book")


def test_the_environment_comes_second(places):
    """FIXBOOK_BOOK holds over the folder one is in."""
    environment = {"FIXBOOK_BOOK": str(places["environment"])}
    found = find_book(None, environment, places["here"], places["data"].parent)
    assert (found.folder, found.said_by) == (places["environment"], "FIXBOOK_BOOK")


@pytest.mark.parametrize("inside", [".", "entries", "entries/radio"])
def test_the_nearest_parent_comes_third(inside, places):
    """Anywhere inside a book's folder, that book is meant."""
    found = find_book(None, {}, places["here"] / inside, places["data"].parent)
    assert (found.folder, found.said_by) == (places["here"], "the folder you are in")


def test_the_nearer_of_two_parents_holds(places):
    """A book inside another book's folder is the one that is meant there."""
    inner = places["here"] / "entries"
    (inner / "fixbook.toml").write_text("", encoding="utf-8")
    assert find_book(None, {}, inner / "radio", places["data"].parent).folder == inner


def test_the_data_folder_comes_last(places, tmp_path):
    """Outside every book, the user's own one is meant."""
    found = find_book(None, {}, tmp_path, places["data"].parent)
    assert (found.folder, found.said_by) == (places["data"], "your data folder")


def test_without_any_there_is_the_starter_book(tmp_path):
    """Nothing anywhere is no fault: the starter book stands alone."""
    assert find_book(None, {}, tmp_path, tmp_path).folder is None


@pytest.mark.parametrize("empty", ["", None])
def test_an_empty_name_is_no_name(empty, places):
    """An option or variable without a value is passed over."""
    environment = {"FIXBOOK_BOOK": empty} if empty is not None else {}
    found = find_book(empty, environment, places["here"], places["data"].parent)
    assert found.said_by == "the folder you are in"


@pytest.mark.parametrize(("make", "why"), [(False, "does not exist"), (True, "is not a folder")],
                         ids=["missing", "file"])  # fmt: skip
@pytest.mark.parametrize("by", ["--book", "FIXBOOK_BOOK"])
def test_a_named_book_that_is_none_is_an_error(by, make, why, tmp_path):
    """A wrong name is told, with where it was said: another book is never taken in its place."""
    name = tmp_path / "nowhere"
    if make:
        name.write_text("x", encoding="utf-8")
    option = str(name) if by == "--book" else None
    with pytest.raises(BookError, match=why) as caught:
        find_book(option, {"FIXBOOK_BOOK": str(name)}, tmp_path, tmp_path)
    assert (caught.value.input, caught.value.read) == (by, str(name))


def test_a_tilde_is_the_home_folder(places, monkeypatch, tmp_path):
    """A name given in a settings file of a shell may begin with a tilde."""
    monkeypatch.setenv("HOME", str(tmp_path))
    assert find_book("~/option", {}, tmp_path, tmp_path).folder == places["option"]


@pytest.mark.parametrize(
    "words",
    [("--book", "{}", "book", "where"), ("book", "where", "--book", "{}"),
     ("--book={}", "book", "where"), ("book", "where", "--book={}")],
    ids=["before", "after", "before, equals", "after, equals"],
)  # fmt: skip
def test_the_option_may_stand_before_or_after_the_command(words, places, fixbook):
    """--book is understood in both places."""
    filled = [word.format(places["option"]) for word in words]
    where = json.loads(fixbook(*filled, "--json").out)
    assert (where["book"], where["said_by"]) == (str(places["option"]), "--book")


@pytest.mark.parametrize("command", [("find", "hum"), ("calc",), ("proof",), ("sheet", "amp-one"),
                                     ("book", "where"), ("kit", "amp-one")],
                         ids=lambda words: words[0])  # fmt: skip
def test_every_command_refuses_a_book_that_is_none(command, fixbook):
    """No command quietly answers from another book than the one that was named."""
    ran = fixbook("--book", "nowhere", *command)
    assert (ran.status, "does not exist" in ran.err, ran.out) == (2, True, "")


def test_a_folder_without_settings_can_be_named(book, fixbook):
    """A folder of entries is a book; its settings may be missing altogether."""
    (book.folder / "fixbook.toml").unlink()
    assert fixbook("book", "where").status == 0


def test_an_own_book_has_the_starter_book_beside_it(book, fixbook):
    """Unless the settings say otherwise, the starter book's write-ups are found as well."""
    alone = json.loads(fixbook("book", "where", "--json").out)["files"]
    (book.folder / "fixbook.toml").write_text('name = "Test"\n', encoding="utf-8")
    both = json.loads(fixbook("book", "where", "--json").out)["files"]
    assert (list(alone), list(both)) == (["own"], ["own", "starter"])


def test_a_folder_that_went_away_is_told(fixbook, tmp_path, monkeypatch):
    """Standing in a folder that was removed is an error in words."""
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    ran = fixbook("calc")
    assert (ran.status, "is not there any more" in ran.err) == (2, True)
    os.chdir(tmp_path)


def test_a_book_whose_name_is_no_text_is_opened(fixbook, tmp_path):
    """A folder's name may hold bytes that are no text."""
    folder = os.fsdecode(os.fsencode(tmp_path) + b"/shop\xff")
    os.makedirs(os.path.join(folder, "entries"))
    (Path(folder) / "fixbook.toml").write_text("starter = false\n", encoding="utf-8")
    assert fixbook("--book", folder, "find", "hum").status == 1
    assert fixbook("--book", folder, "book", "where").err == ""
