"""Drafts: kept after every answer, listed, and gone when they are filed."""

from __future__ import annotations

import pytest

from fixbook.errors import BookError
from fixbook.store.drafts import Drafts, Kept


@pytest.fixture
def drafts(tmp_path):
    """Give the drafts of an empty book."""
    return Drafts(tmp_path)


def test_what_is_kept_comes_back(drafts):
    """Answers, the write-up that is changed, and its digest."""
    kept = Kept({"title": "Hums µ", "signs": {"hum": "always"}}, "amp/amp-hum.md", "abc")
    drafts.keep("amp-hum", kept)
    assert drafts.kept("amp-hum") == kept


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "3", '{"answers": 3}', '{"answers": [], "path": 1}']
)
def test_a_damaged_file_counts_as_empty(text, drafts):
    """The draft's text is what matters, and it is in a file of its own."""
    drafts.keep_text("amp-hum", "text")
    (drafts.folder / "amp-hum.json").write_text(text)
    assert (drafts.kept("amp-hum").answers, drafts.text("amp-hum")) == ({}, "text")


def test_drafts_are_named_once_whatever_files_they_have(drafts):
    """Answers alone, text alone, or both."""
    drafts.keep("one", Kept())
    drafts.keep_text("two", "text")
    drafts.keep("two", Kept())
    (drafts.folder / "notes.txt").write_text("not a draft")
    assert sorted(drafts.names()) == ["one", "two"]


def test_a_draft_takes_another_name_whole(drafts):
    """Both of its files follow."""
    drafts.keep("new-1", Kept({"title": "Hums"}))
    drafts.keep_text("new-1", "text")
    drafts.rename("new-1", "amp-hum")
    assert (drafts.names(), drafts.text("amp-hum"), drafts.kept("amp-hum").answers) == (
        ["amp-hum"], "text", {"title": "Hums"},
    )  # fmt: skip


def test_a_draft_that_is_removed_is_gone(drafts):
    """Filed or thrown away, it is in nobody's way; twice is no fault."""
    drafts.keep_text("one", "text")
    drafts.remove("one")
    drafts.remove("one")
    assert (drafts.names(), drafts.text("one")) == ([], None)


def test_a_folder_that_cannot_be_made_is_said(tmp_path):
    """A file in the place of the folder: the message names it."""
    (tmp_path / "drafts").write_text("a file")
    with pytest.raises(BookError, match="drafts"):
        Drafts(tmp_path).keep_text("one", "text")
