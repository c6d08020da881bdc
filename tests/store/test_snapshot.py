"""A file is written back only while it is what it was when it was read."""

from __future__ import annotations

import pytest

from fixbook.errors import BookError
from fixbook.store.snapshot import ChangedError, take_snapshot


@pytest.fixture
def path(tmp_path):
    """Give a file with a text in it."""
    path = tmp_path / "hum.md"
    path.write_bytes(b"old\r\n")
    return path


def test_a_file_that_stayed_is_written(path):
    """The new text is there, and line ends are as given."""
    take_snapshot(path).write("new\r\n")
    assert path.read_bytes() == b"new\r\n"


@pytest.mark.parametrize("how", ["changed", "gone", "come"])
def test_a_file_that_changed_is_left_alone(how, path):
    """Somebody else's text, or its absence, is theirs."""
    if how == "come":
        path.unlink()
    before = take_snapshot(path)
    if how == "gone":
        path.unlink()
    else:
        path.write_bytes(b"theirs")
    with pytest.raises(ChangedError, match=r"hum\.md changed"):
        before.write("mine")
    assert (path.read_bytes() if path.exists() else None) == (None if how == "gone" else b"theirs")


def test_a_second_write_goes_on_from_the_first(path):
    """What a snapshot wrote is what it knows."""
    take_snapshot(path).write("one").write("two")
    assert path.read_bytes() == b"two"


@pytest.mark.parametrize("data", [b"\xff", b"x" * 1_100_000], ids=["no text", "too long"])
def test_what_is_no_text_is_refused_in_words(data, path):
    """A file that cannot be read is not changed."""
    path.write_bytes(data)
    with pytest.raises(BookError, match=r"hum\.md"):
        take_snapshot(path)


def test_a_byte_order_mark_stays(path):
    """Some editors put it first, and look for it."""
    path.write_bytes(b"\xef\xbb\xbfold")
    take_snapshot(path).write("new")
    assert path.read_bytes() == b"\xef\xbb\xbfnew"
