from __future__ import annotations


def test_a_made_up_book_finds_its_own_write_up(book, fixbook):
    """A word of a write-up's sign finds it, and only its own book is searched."""
    book.add("amp-one", title="One side drops out")
    found = fixbook("find", "drone")
    assert (found.status, "amp-one" in found.out, "1 found" in found.out) == (0, True, True)
