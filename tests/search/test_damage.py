"""A damaged index is noticed: no traceback, no other answer, and it can be built again."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from fixbook.core.query import Document, Request
from fixbook.search import Index, IndexDamagedError, State

FILES = (
    "index.json", "sources-*", "synonyms-*", "*.toc", "*.trm", "*.pst", "*.docs", "*.columns",
    "*.words", "*.sums", "*_stored.col", "*_text_len.col",
)  # fmt: skip
QUERIES = ("hum", "one side", "contcat", '"will not turn on"', "")


def cut(path: Path) -> None:
    """Leave the first half."""
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def empty(path: Path) -> None:
    """Leave nothing in it."""
    path.write_bytes(b"")


def noise(path: Path) -> None:
    """Fill it with noise of the same size."""
    path.write_bytes(random.Random(3).randbytes(path.stat().st_size))


def flip(path: Path) -> None:
    """Change one bit in the middle."""
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 4
    path.write_bytes(data)


def grow(path: Path) -> None:
    """Add a byte."""
    path.write_bytes(path.read_bytes() + b"x")


def remove(path: Path) -> None:
    """Take it away."""
    path.unlink()


def folder_instead(path: Path) -> None:
    """Put a folder in its place."""
    path.unlink()
    path.mkdir()


DAMAGE = (cut, empty, noise, flip, grow, remove, folder_instead)


def harm(folder: Path, pattern: str, damage: Callable[[Path], None]) -> None:
    """Damage the one file of a pattern."""
    (path,) = folder.glob(pattern)
    damage(path)


@pytest.mark.parametrize("damage", DAMAGE, ids=lambda f: f.__name__)
@pytest.mark.parametrize("pattern", FILES)
def test_a_damaged_file_never_changes_an_answer(
    index: Index, folder: Path, pattern: str, damage: Callable[[Path], None]
) -> None:
    """Each answer is the one from before, or the damage is reported."""
    before = [index.search(Request(words)) for words in QUERIES]
    harm(folder, pattern, damage)
    other = Index(folder, "1")
    for words, found in zip(QUERIES, before, strict=True):
        try:
            assert other.search(Request(words)) == found
        except IndexDamagedError:
            assert other.sources() == {}


@pytest.mark.parametrize("damage", DAMAGE, ids=lambda f: f.__name__)
@pytest.mark.parametrize("pattern", FILES)
def test_a_full_check_finds_any_damage(
    index: Index, folder: Path, pattern: str, damage: Callable[[Path], None]
) -> None:
    """`check` reports each kind of damage to each file."""
    harm(folder, pattern, damage)
    assert Index(folder, "1").check().state is not State.READY


@pytest.mark.parametrize("damage", (noise, folder_instead), ids=lambda f: f.__name__)
@pytest.mark.parametrize("pattern", FILES)
def test_a_damaged_index_is_built_again(
    index: Index,
    folder: Path,
    book: Sequence[Document],
    pattern: str,
    damage: Callable[[Path], None],
) -> None:
    """Building over the damage gives a whole index."""
    harm(folder, pattern, damage)
    other = Index(folder, "1")
    other.check()
    other.update({d.source: [d] for d in book}, stamps={})
    assert other.check().state is State.READY


def test_damage_met_while_open_is_reported(index: Index, folder: Path) -> None:
    """Pages are checked when they are first read, however long the index has been open."""
    index.sources()
    harm(folder, "*.docs", flip)
    with pytest.raises(IndexDamagedError, match="damaged"):
        index.search(Request("hum"))


def test_files_of_two_generations_are_not_mixed(index: Index, folder: Path) -> None:
    """An older synonyms file under the newer name is damage."""
    (old,) = folder.glob("synonyms-*")
    old.write_bytes(b'{"hum": []}')
    with pytest.raises(IndexDamagedError):
        Index(folder, "1").search(Request("hum"))


def test_a_manifest_of_another_format_is_no_index(index: Index, folder: Path) -> None:
    """A format that a later release wrote is built again, not misread."""
    from zlib import crc32

    body = (folder / "index.json").read_bytes().partition(b"\n")[2]
    body = body.replace(b'"format": "', b'"format": "other ')
    (folder / "index.json").write_bytes(b"%08x\n" % crc32(body) + body)
    assert Index(folder, "1").condition().state is State.MISSING


def test_changes_alone_are_refused_when_the_index_was_lost(index: Index, folder: Path) -> None:
    """A caller that reckons with the old content is told, and nothing is lost in silence."""
    index.sources()
    harm(folder, "index.json", empty)
    with pytest.raises(IndexDamagedError):
        index.update({}, stamps={})
