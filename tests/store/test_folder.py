"""Which files a book holds, and reading one of them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fixbook.core.problems import Problem
from fixbook.store.folder import list_entries, read_file, stamp


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Make a folder of entries with one write-up and one vocabulary file."""
    folder = tmp_path / "book" / "entries"
    _file(folder / "amp" / "relay-worn.md")
    _file(folder / "vocabulary" / "words.yaml")
    return folder


def _file(path: Path, text: str = "---\n---\n") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def _said(problems: list[Problem]) -> list[tuple[str, str]]:
    return [(one.rule, one.file) for one in problems]


def test_write_ups_and_vocabulary_are_listed_apart(root: Path) -> None:
    """Each file is listed by its path in the folder, with `/` between the parts."""
    listing = list_entries(root)
    assert (list(listing.entries), list(listing.vocabulary), listing.problems) == (
        ["amp/relay-worn.md"],
        ["vocabulary/words.yaml"],
        [],
    )


@pytest.mark.parametrize(
    "path",
    [
        "vocabulary/notes.md",
        "pictures/points.md",
        "amp/notes.txt",
        "amp/words.yaml",
        ".hidden.md",
        ".git/notes.md",
        "amp/.fixbook-partial-x.md",
        "amp/RELAY.MD",
    ],
)
def test_other_files_are_passed_over(root: Path, path: str) -> None:
    """Hidden files, pictures, notes and words in the wrong folder are no write-ups."""
    _file(root / path)
    listing = list_entries(root)
    assert [*listing.entries, *listing.vocabulary] == ["amp/relay-worn.md", "vocabulary/words.yaml"]


def test_a_file_is_known_by_size_and_time(root: Path) -> None:
    """The listing's stamp is that of the file itself."""
    info = (root / "amp" / "relay-worn.md").stat()
    expected = (info.st_size, info.st_mtime_ns)
    found = list_entries(root).entries["amp/relay-worn.md"]
    assert found == stamp(root, "amp/relay-worn.md") == expected


def test_a_missing_file_has_no_stamp(root: Path) -> None:
    """A file that went away is not an error to ask about."""
    assert stamp(root, "amp/gone.md") is None


def test_the_order_does_not_depend_on_the_disk(root: Path) -> None:
    """Names come sorted, folder by folder."""
    for name in ["zoom", "b", "a2", "a10"]:
        _file(root / "amp" / f"{name}.md")
    listing = list_entries(root)
    assert list(listing.entries) == [
        f"amp/{one}.md" for one in ["a10", "a2", "b", "relay-worn", "zoom"]
    ]


def test_an_empty_folder_is_an_empty_book(tmp_path: Path) -> None:
    """Nothing inside is no fault."""
    listing = list_entries(tmp_path)
    assert (listing.entries, listing.vocabulary, listing.problems) == ({}, {}, [])


def test_a_folder_that_is_not_there_is_an_empty_book(tmp_path: Path) -> None:
    """A book without entries is a book."""
    listing = list_entries(tmp_path / "entries")
    assert (listing.entries, listing.problems) == ({}, [])


def test_a_file_in_the_place_of_the_folder_is_reported(tmp_path: Path) -> None:
    """Where `entries` is a file, that is said."""
    listing = list_entries(_file(tmp_path / "entries"), shown="entries")
    assert _said(listing.problems) == [("unreadable", "entries")]


def test_a_folder_named_like_a_write_up_is_reported(root: Path) -> None:
    """The folder is named, and what it holds is listed all the same."""
    _file(root / "amp" / "hum.md" / "inner.md")
    listing = list_entries(root, shown="entries")
    assert _said(listing.problems) == [("folder", "entries/amp/hum.md")]
    assert list(listing.entries) == ["amp/hum.md/inner.md", "amp/relay-worn.md"]


@pytest.mark.parametrize(
    "target", ["../../../secret.md", "/etc/hostname"], ids=["relative", "absolute"]
)
def test_a_link_out_of_the_book_is_reported_and_not_followed(root: Path, target: str) -> None:
    """Nothing outside the book is read."""
    _file(root.parent.parent / "secret.md")
    (root / "amp" / "secret.md").symlink_to(target)
    listing = list_entries(root, shown="entries")
    assert _said(listing.problems) == [("outside", "entries/amp/secret.md")]
    assert list(listing.entries) == ["amp/relay-worn.md"]


def test_a_linked_folder_out_of_the_book_is_reported(root: Path, tmp_path: Path) -> None:
    """A link to a folder elsewhere shows nothing of it."""
    _file(tmp_path / "elsewhere" / "secret.md")
    (root / "more").symlink_to(tmp_path / "elsewhere")
    listing = list_entries(root, shown="entries")
    assert _said(listing.problems) == [("outside", "entries/more")]
    assert "more/secret.md" not in listing.entries


def test_a_folder_beside_with_the_same_beginning_is_outside(root: Path) -> None:
    """`entries-old` is not inside `entries`."""
    _file(root.parent / "entries-old" / "old.md")
    (root / "amp" / "old.md").symlink_to("../../entries-old/old.md")
    assert _said(list_entries(root, shown="e").problems) == [("outside", "e/amp/old.md")]


def test_a_link_inside_the_book_is_followed(root: Path) -> None:
    """A second name for a write-up is listed under both names."""
    (root / "amp" / "second-name.md").symlink_to("relay-worn.md")
    assert list(list_entries(root).entries) == ["amp/relay-worn.md", "amp/second-name.md"]


def test_a_book_that_is_itself_a_link_is_read(root: Path, tmp_path: Path) -> None:
    """The folder may be reached through a link."""
    (tmp_path / "link").symlink_to(root)
    assert list(list_entries(tmp_path / "link").entries) == ["amp/relay-worn.md"]


@pytest.mark.parametrize("target", ["nowhere.md", "loop.md"], ids=["nothing", "itself"])
def test_a_link_to_nothing_is_reported(root: Path, target: str) -> None:
    """A link that leads nowhere or to itself is named, and the rest is listed."""
    (root / "amp" / "loop.md").symlink_to(target)
    listing = list_entries(root, shown="entries")
    assert _said(listing.problems) == [("unreadable", "entries/amp/loop.md")]
    assert list(listing.entries) == ["amp/relay-worn.md"]


def test_a_linked_folder_that_goes_round_ends(root: Path) -> None:
    """A link to the folder above does not list everything for ever."""
    (root / "amp" / "round").symlink_to("..")
    assert list(list_entries(root).entries) == ["amp/relay-worn.md"]


def test_a_pipe_is_not_opened(root: Path) -> None:
    """What is neither file nor folder is passed over, so that nothing waits for it."""
    os.mkfifo(root / "amp" / "pipe.md")
    assert list(list_entries(root).entries) == ["amp/relay-worn.md"]


def test_a_name_that_is_not_utf_8_is_listed_and_read(root: Path) -> None:
    """A file name of other bytes hides nothing."""
    try:
        (Path(os.fsdecode(os.fsencode(root) + b"/amp/hum\xff.md"))).write_text("hum", "utf-8")
    except OSError:
        pytest.skip("this file system takes no such name")
    (path,) = [one for one in list_entries(root).entries if "hum" in one]
    assert read_file(root, path) == ("hum", [])


def test_a_folder_without_permission_is_reported(ordinary: Path) -> None:
    """The folder is named with the reason, and the folders beside it are listed."""
    _file(ordinary / "amp" / "relay-worn.md")
    _file(ordinary / "locked" / "hum.md").parent.chmod(0)
    listing = list_entries(ordinary, shown="entries")
    assert [str(one) for one in listing.problems] == [
        "entries/locked:1:1: Permission denied; look at its permissions"
    ]
    assert list(listing.entries) == ["amp/relay-worn.md"]


def test_a_folder_inside_one_without_permission_is_reported(ordinary: Path) -> None:
    """A book that cannot even be reached is not taken for an empty one."""
    (ordinary / "book" / "entries").mkdir(parents=True)
    (ordinary / "book").chmod(0)
    listing = list_entries(ordinary / "book" / "entries", shown="entries")
    assert _said(listing.problems) == [("unreadable", "entries")]


def test_a_file_without_permission_is_reported(ordinary: Path) -> None:
    """The file is named with the reason; its text is empty."""
    _file(ordinary / "hum.md").chmod(0)
    text, problems = read_file(ordinary, "hum.md", shown="entries")
    assert (text, _said(problems)) == ("", [("unreadable", "entries/hum.md")])


def test_a_file_is_read_whole(root: Path) -> None:
    """The text is the file's own, line ends included."""
    (root / "amp" / "relay-worn.md").write_bytes("---\r\nid: µ\r\n---\r\n".encode())
    assert read_file(root, "amp/relay-worn.md") == ("---\r\nid: µ\r\n---\r\n", [])


def test_a_file_that_vanished_is_reported(root: Path) -> None:
    """A file deleted between listing and reading is named, and is no exception."""
    listing = list_entries(root)
    (root / "amp" / "relay-worn.md").unlink()
    (path,) = listing.entries
    text, problems = read_file(root, path, shown="entries")
    assert (text, _said(problems)) == ("", [("gone", "entries/amp/relay-worn.md")])


def test_a_folder_read_as_a_file_is_reported(root: Path) -> None:
    """A file that became a folder since it was listed is named with the reason."""
    text, problems = read_file(root, "amp", shown="entries")
    assert (text, _said(problems)) == ("", [("unreadable", "entries/amp")])


def test_a_file_of_five_megabytes_is_refused_with_its_size(root: Path) -> None:
    """A long file costs neither memory nor the other files."""
    _file(root / "amp" / "long.md", "a" * 5_000_000)
    text, problems = read_file(root, "amp/long.md", shown="entries")
    assert (text, [one.problem for one in problems]) == ("", ["the file has 5,000,000 bytes"])


def test_a_file_that_is_not_utf_8_is_reported(root: Path) -> None:
    """The fault has the file's name and the byte's place."""
    (root / "amp" / "latin.md").write_bytes(b"---\ntitle: na\xefve\n---\n")
    text, problems = read_file(root, "amp/latin.md", shown="entries")
    assert (text, [(one.file, one.line, one.column) for one in problems]) == (
        "",
        [("entries/amp/latin.md", 2, 10)],
    )
