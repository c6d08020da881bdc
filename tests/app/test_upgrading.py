"""The form of a book's folder: written down, refused where it is from later, brought up to now."""

from __future__ import annotations

import json
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.app import upgrading
from fixbook.app.books import new_book
from fixbook.app.upgrading import STEPS, upgrade, with_format
from fixbook.settings import FORMAT, read_shop

OLD = """\
# Ours, since 2019.
name = "Old bench"   # the old sign still hangs there
stock = "stock.csv"

[[meters]]
reads = "ohms"
percent = 0.5
resolution = "0.1 ohm"

[plugin.till]
format = "wide"
"""


@pytest.fixture
def old(tmp_path):
    """Give a book from before forms were written down."""
    (tmp_path / "fixbook.toml").write_text(OLD, encoding="utf-8")
    (tmp_path / ".gitignore").write_text("jobs.sqlite*\nmine/\n", encoding="utf-8")
    return tmp_path


def test_a_new_book_has_the_form_of_now(tmp_path):
    """What is made today says so."""
    new_book(tmp_path / "book")
    assert read_shop(tmp_path / "book")[0].format == FORMAT


def test_a_book_that_says_nothing_has_the_first_form(old):
    """Books from before are read as they are, and nothing is reported."""
    assert (read_shop(old)[0].format, read_shop(old)[1]) == (1, [])


def test_there_is_a_step_from_every_form_to_the_next():
    """No book is left behind."""
    assert sorted(STEPS) == list(range(1, FORMAT))


def test_an_old_book_is_brought_to_now(old):
    """It says its form, and has the settings that it had."""
    assert upgrade(old) == (1, FORMAT)
    after = tomllib.loads((old / "fixbook.toml").read_text(encoding="utf-8"))
    assert after == {"format": FORMAT, **tomllib.loads(OLD)}


def test_every_line_that_somebody_wrote_stays(old):
    """Comments, order and the shop's own ignored files are where they were."""
    upgrade(old)
    assert OLD in (old / "fixbook.toml").read_text(encoding="utf-8")
    assert (old / ".gitignore").read_text(encoding="utf-8").startswith("jobs.sqlite*\nmine/\n")
    assert "drafts/" in (old / ".gitignore").read_text(encoding="utf-8")


def test_a_second_upgrade_changes_nothing(old):
    """What is as it should be is left alone."""
    upgrade(old)
    before = {path.name: path.read_bytes() for path in old.iterdir()}
    assert upgrade(old) == (FORMAT, FORMAT)
    assert {path.name: path.read_bytes() for path in old.iterdir()} == before


def test_an_upgrade_that_was_cut_short_is_done_again(old, monkeypatch):
    """A crash between two files leaves a book that still says its old form."""
    written = []

    def crash(path, text):
        if written:
            raise OSError("power cut")
        written.append(path.name)
        real(path, text)

    real = upgrading.write_text
    monkeypatch.setattr(upgrading, "write_text", crash)
    with pytest.raises(upgrading.BookError):
        upgrade(old)
    assert (written, read_shop(old)[0].format) == ([".gitignore"], 1)
    monkeypatch.undo()
    assert upgrade(old) == (1, FORMAT)


def test_a_form_from_later_is_refused_in_words(old, fixbook):
    """A newer book is not half understood: the message says which, and what to do."""
    (old / "fixbook.toml").write_text(f"format = {FORMAT + 5}\n", encoding="utf-8")
    ran = fixbook("find", "hum", "--book", str(old), "--json")
    told = json.loads(ran.out)["error"]
    assert (ran.status, f"format {FORMAT + 5}" in told["why"]) == (2, True)


def test_the_command_says_what_it_did(old, fixbook):
    """`book upgrade` tells the form before and now."""
    ran = fixbook("book", "upgrade", "--book", str(old), "--json")
    assert json.loads(ran.out) == {"book": str(old), "before": 1, "format": FORMAT}


def test_settings_that_cannot_be_read_are_left_alone(old, fixbook):
    """A broken file is mended by its owner first."""
    (old / "fixbook.toml").write_text("name = [", encoding="utf-8")
    ran = fixbook("book", "upgrade", "--book", str(old))
    assert ran.status == 2
    assert (old / "fixbook.toml").read_text(encoding="utf-8") == "name = ["


@settings(max_examples=50)
@given(
    st.lists(st.sampled_from(["# note", 'name = "x"', "format = 1", "warranty_days = 30", ""]),
             max_size=4, unique=True),
    st.sampled_from(["", "[plugin.a]\nformat = 7\n", "[[meters]]\n"]),
    st.sampled_from(["\n", "\r\n"]),
)  # fmt: skip
def test_the_form_is_said_and_nothing_else_changes(lines, table, ending):
    """Whatever stands in the settings, only the form of the book is another."""
    text = "".join(f"{line}{ending}" for line in lines) + table
    before, after = tomllib.loads(text), tomllib.loads(with_format(text, 2))
    assert after == {**before, "format": 2}
