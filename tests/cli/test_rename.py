"""Renaming and withdrawing: every link follows, the old id still leads there, nothing is lost."""

from __future__ import annotations

import json

import pytest

BODY = """
## Step by step

1. Unplug it; see [this](fault:amp-one), [that](fault:amp-one?x=1) and [other](fault:amp-one-more).
2. `[code](fault:amp-one)` stays.
"""


@pytest.fixture
def linked(book):
    """Give a book with three write-ups that point at each other."""
    book.add("amp-one", title="One side drops out")
    book.add("amp-one-more", title="Other")
    path = book.add("amp-two", title="Two", body=BODY)
    text = path.read_text().replace("see: []", "see: [amp-one, amp-one-more]  # both")
    path.write_text(text)
    return book


def folder(book):
    """Give the folder of the write-ups."""
    return book.folder / "entries/test-amp"


def test_links_and_references_follow_and_nothing_else_changes(linked, fixbook):
    """Longer ids, code and comments stay as they are."""
    before = (folder(linked) / "amp-two.md").read_text()
    assert fixbook("write", "--rename", "amp-one", "amp-relay").status == 0
    wanted = before.replace("[this](fault:amp-one)", "[this](fault:amp-relay)")
    wanted = wanted.replace("(fault:amp-one?", "(fault:amp-relay?")
    wanted = wanted.replace("[amp-one, amp", "[amp-relay, amp")
    assert (folder(linked) / "amp-two.md").read_text() == wanted


def test_the_file_has_its_new_name_and_the_old_id_is_an_alias(linked, fixbook):
    """The old id still opens it."""
    fixbook("write", "--rename", "amp-one", "amp-relay")
    names = sorted(path.name for path in folder(linked).iterdir())
    text = (folder(linked) / "amp-relay.md").read_text()
    assert names == ["amp-one-more.md", "amp-relay.md", "amp-two.md"]
    assert ("id: amp-relay\n" in text, "aliases: [amp-one]\n" in text) == (True, True)
    assert fixbook("sheet", "amp-one").status == 0


def test_doing_it_again_changes_nothing(linked, fixbook):
    """A rename that was broken off is finished by the same command; a finished one stays."""
    fixbook("write", "--rename", "amp-one", "amp-relay")
    before = {path.name: path.read_text() for path in folder(linked).iterdir()}
    assert fixbook("write", "--rename", "amp-one", "amp-relay").status == 0
    assert {path.name: path.read_text() for path in folder(linked).iterdir()} == before


def test_a_rename_broken_off_after_its_first_step_is_finished(linked, fixbook):
    """The file says its new id and has its old name: the same command goes on."""
    path = folder(linked) / "amp-one.md"
    path.write_text(path.read_text().replace("id: amp-one", "id: amp-relay").replace(
        "state: written", "aliases: [amp-one]\nstate: written"))  # fmt: skip
    assert fixbook("write", "--rename", "amp-one", "amp-relay").status == 0
    assert sorted(one.name for one in folder(linked).iterdir())[1] == "amp-relay.md"


def test_a_name_left_beside_the_new_one_is_taken_away(linked, fixbook):
    """Broken off between the two names of one file."""
    import os

    fixbook("write", "--rename", "amp-one", "amp-relay")
    os.link(folder(linked) / "amp-relay.md", folder(linked) / "amp-one.md")
    assert fixbook("write", "--rename", "amp-one", "amp-relay").status == 0
    assert not (folder(linked) / "amp-one.md").exists()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("amp-one", "amp-two", "is the id of"),
        ("amp-one", "Amp", "is no id"),
        ("amp-none", "amp-new", "there is no write-up"),
        ("amp-one", "nul", "device"),
    ],
)
def test_a_rename_that_cannot_be_changes_nothing(old, new, said, linked, fixbook):
    """The id is taken, no id, or unknown."""
    before = {path.name: path.read_text() for path in folder(linked).iterdir()}
    ran = fixbook("write", "--rename", old, new)
    assert (ran.status, said in ran.err) == (2, True)
    assert {path.name: path.read_text() for path in folder(linked).iterdir()} == before


def test_a_file_in_the_way_is_not_overwritten(linked, fixbook):
    """Somebody's file of the new name, whatever is in it, stays."""
    (folder(linked) / "amp-relay.md").write_text("notes of mine")
    ran = fixbook("write", "--rename", "amp-one", "amp-relay")
    assert (ran.status, (folder(linked) / "amp-relay.md").read_text()) == (2, "notes of mine")


@pytest.mark.parametrize("how", ["crlf", "mark", "mode", "link"])
def test_renaming_keeps_what_the_file_was(how, linked, fixbook):
    """Line ends, a byte-order mark, permissions and a symbolic link stay."""
    path = folder(linked) / "amp-one.md"
    data = path.read_bytes()
    if how == "crlf":
        path.write_bytes(data.replace(b"\n", b"\r\n"))
    if how == "mark":
        path.write_bytes(b"\xef\xbb\xbf" + data)
    if how == "mode":
        path.chmod(0o600)
    if how == "link":
        path.rename(path.with_name("kept.txt"))
        path.symlink_to("kept.txt")
    assert fixbook("write", "--rename", "amp-one", "amp-relay").status == 0
    new = path.with_name("amp-relay.md")
    found = new.read_bytes()
    assert {
        "crlf": b"\n" not in found.replace(b"\r\n", b""),
        "mark": found.startswith(b"\xef\xbb\xbf---"),
        "mode": new.stat().st_mode & 0o777 == 0o600,
        "link": new.is_symlink() and b"id: amp-relay" in found,
    }[how]


def test_a_withdrawn_write_up_is_found_and_says_what_replaced_it(linked, fixbook):
    """It stays in the results, and its sheet points on."""
    assert fixbook("write", "--withdraw", "amp-one", "--by", "amp-two").status == 0
    found = json.loads(fixbook("find", "drops", "out", "--json").out)
    states = {hit["id"]: hit["state"] for hit in found["hits"]}
    assert states["amp-one"] == "withdrawn"
    assert "Use amp-two instead" in fixbook("sheet", "amp-one").out


@pytest.mark.parametrize("by", ["amp-none", "amp-one"])
def test_a_withdrawal_for_nothing_is_refused(by, linked, fixbook):
    """What replaces it must be there, and be another."""
    before = (folder(linked) / "amp-one.md").read_text()
    ran = fixbook("write", "--withdraw", "amp-one", "--by", by)
    assert (ran.status, (folder(linked) / "amp-one.md").read_text()) == (2, before)


def test_jobs_follow_a_rename(linked, fixbook):
    """A job linked to the old id is linked to the new one."""
    fixbook("job", "new", "--number", "7", "--unit", "test-amp", "--complaint", "drops out")
    fixbook("job", "link", "7", "amp-one")
    fixbook("write", "--rename", "amp-one", "amp-relay")
    assert "amp-relay" in fixbook("job", "show", "7", "--json").out
