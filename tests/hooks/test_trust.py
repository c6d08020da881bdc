"""A book's own plugins are code: off until their owner trusts them, off again when changed."""

from __future__ import annotations

import json

import pytest

PLUGIN = """\
from fixbook.api import *

@hook
def fixbook_sheet_blocks(bench, entry):
    return [TextBlock("From the shop", "shelf seven")]
"""


@pytest.fixture
def one(book):
    """Give a book with a write-up and a plugin nobody has trusted yet."""
    book.add("amp-one")
    (book.folder / "plugins").mkdir()
    (book.folder / "plugins" / "shelf.py").write_text(PLUGIN, encoding="utf-8")
    return book


def is_on(fixbook) -> bool:
    """Say whether the plugin's block is on the sheet."""
    return "shelf seven" in fixbook("sheet", "amp-one").out


def test_a_plugin_is_off_until_it_is_trusted(one, fixbook):
    """The code of a book that came from somewhere is not run."""
    assert not is_on(fixbook)


def test_a_trusted_plugin_is_on(one, fixbook):
    """`book trust --yes` switches the book's plugins on."""
    fixbook("book", "trust", "--yes")
    assert is_on(fixbook)


def test_a_changed_plugin_is_off_again(one, fixbook):
    """Trust is for the bytes that were seen, not for the name."""
    fixbook("book", "trust", "--yes")
    (one.folder / "plugins" / "shelf.py").write_text(PLUGIN + "\n# changed\n", encoding="utf-8")
    assert not is_on(fixbook)


def test_a_plugin_changed_back_is_on_again(one, fixbook):
    """The same bytes are the same plugin."""
    fixbook("book", "trust", "--yes")
    path = one.folder / "plugins" / "shelf.py"
    path.write_text("x = 1\n", encoding="utf-8")
    path.write_text(PLUGIN, encoding="utf-8")
    assert is_on(fixbook)


def test_a_new_plugin_beside_a_trusted_one_is_off(one, fixbook):
    """Trusting what is there says nothing about what comes later."""
    fixbook("book", "trust", "--yes")
    text = PLUGIN.replace("shelf seven", "drawer nine")
    (one.folder / "plugins" / "drawer.py").write_text(text, encoding="utf-8")
    out = fixbook("sheet", "amp-one").out
    assert ("shelf seven" in out, "drawer nine" in out) == (True, False)


def test_none_takes_all_trust_back(one, fixbook):
    """`book trust --none` switches every plugin of the book off."""
    fixbook("book", "trust", "--yes")
    fixbook("book", "trust", "--none")
    assert not is_on(fixbook)


def test_without_a_yes_nothing_is_trusted(one, fixbook):
    """Without a terminal nobody can agree, so the answer is no."""
    ran = fixbook("book", "trust")
    assert (ran.status, "nothing was trusted" in ran.out, is_on(fixbook)) == (1, True, False)


def test_the_question_names_every_file(one, fixbook):
    """What is to be trusted is listed by its path before the question."""
    assert f"new or changed: {one.folder}/plugins/shelf.py" in fixbook("book", "trust").out


def test_the_digest_is_kept_outside_the_book(one, fixbook, isolation):
    """A book cannot bring its own trust along: nothing of it is written into the folder."""
    before = sorted(path.relative_to(one.folder) for path in one.folder.rglob("*"))
    fixbook("book", "trust", "--yes")
    after = sorted(path.relative_to(one.folder) for path in one.folder.rglob("*"))
    (kept,) = (isolation / "config").rglob("trusted.json")
    assert (after, str(one.folder) in kept.read_text(encoding="utf-8")) == (before, True)


def test_a_copy_of_a_book_is_not_trusted(one, fixbook, tmp_path):
    """Trust belongs to the folder where it was given."""
    import shutil

    fixbook("book", "trust", "--yes")
    shutil.copytree(one.folder, tmp_path / "copy")
    ran = fixbook("--book", str(tmp_path / "copy"), "sheet", "amp-one")
    assert "shelf seven" not in ran.out


@pytest.mark.parametrize("text", ["", "{", "[]", '{"x": 1}', "\0"], ids=repr)
def test_a_damaged_list_of_trust_trusts_nothing(text, one, fixbook, isolation):
    """What cannot be read is no trust, and no fault either."""
    fixbook("book", "trust", "--yes")
    (kept,) = (isolation / "config").rglob("trusted.json")
    kept.write_text(text, encoding="utf-8")
    assert not is_on(fixbook)


def test_a_link_out_of_the_book_is_no_plugin(one, fixbook, tmp_path):
    """A link among the plugins is passed over: its target could change unseen."""
    outside = tmp_path / "outside.py"
    outside.write_text(PLUGIN.replace("shelf seven", "from outside"), encoding="utf-8")
    (one.folder / "plugins" / "linked.py").symlink_to(outside)
    fixbook("book", "trust", "--yes")
    assert "from outside" not in fixbook("sheet", "amp-one").out


def test_where_names_the_plugins_that_are_off(one, fixbook):
    """`book where` says which plugins wait for trust, and what to type."""
    out = " ".join(fixbook("book", "where").out.split())
    assert "plugins of the book that are off: shelf.py ('fixbook book trust')" in out


def test_trust_as_json(one, fixbook):
    """`book trust --yes --json` lists the files that are on from now."""
    assert json.loads(fixbook("book", "trust", "--yes", "--json").out) == {"trusted": ["shelf.py"]}


def test_there_is_nothing_to_trust_in_the_starter_book(fixbook, monkeypatch):
    """Without an own book the command says what to do."""
    monkeypatch.delenv("FIXBOOK_BOOK", raising=False)
    ran = fixbook("book", "trust", "--yes")
    assert (ran.status, "no book of your own" in ran.err) == (2, True)


def test_words_of_a_plugin_hold_as_soon_as_it_is_trusted(one, fixbook):
    """The index follows the set of trusted plugins, on and off, without being told."""
    text = (
        "from fixbook.api import *\n\n@hook\ndef fixbook_words():\n"
        "    return Vocabulary(synonyms=(('quibblewort', 'volume'),))\n"
    )
    (one.folder / "plugins" / "words.py").write_text(text, encoding="utf-8")
    before = fixbook("find", "quibblewort").status
    fixbook("book", "trust", "--yes")
    trusted = fixbook("find", "quibblewort").status
    fixbook("book", "trust", "--none")
    assert (before, trusted, fixbook("find", "quibblewort").status) == (1, 0, 1)


def test_a_file_name_cannot_write_to_the_terminal(one, fixbook):
    """Escape sequences in a plugin's name are shown as marks before the question."""
    (one.folder / "plugins" / "\x1b]0;mine\x07.py").write_text("x = 1\n", encoding="utf-8")
    said = "".join(fixbook(*words).out for words in (("book", "trust"), ("book", "where")))
    assert ("\x1b" in said, "\x07" in said) == (False, False)
