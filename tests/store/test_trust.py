"""Which plugin files of a book are trusted."""

from __future__ import annotations

import hashlib
import json
import stat
from pathlib import Path

import pytest

from fixbook.errors import BookError
from fixbook.store.trust import FILE, plugin_sources, trust, trusted


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Make a book with one plugin file."""
    plugins = tmp_path / "shop" / "plugins"
    plugins.mkdir(parents=True)
    (plugins / "labels.py").write_text("x = 1\n")
    return plugins.parent


@pytest.fixture
def config(tmp_path: Path) -> Path:
    """Name a folder for settings, which does not exist yet."""
    return tmp_path / "config" / "fixbook"


def test_a_plugin_file_is_listed_with_its_digest(shop: Path) -> None:
    """The digest is SHA-256 of the very bytes that are kept to be run."""
    (found,) = plugin_sources(shop)
    assert (found.name, found.path, found.source, found.digest) == (
        "labels",
        shop / "plugins" / "labels.py",
        b"x = 1\n",
        hashlib.sha256(b"x = 1\n").hexdigest(),
    )


@pytest.mark.parametrize(
    "name", ["_private.py", ".hidden.py", "notes.txt", "deep/inner.py", "package.py/__init__.py"]
)
def test_what_is_no_plugin_file_is_passed_over(shop: Path, name: str) -> None:
    """Private files, other files and what lies deeper are never run."""
    path = shop / "plugins" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("x = 2\n")
    assert [one.name for one in plugin_sources(shop)] == ["labels"]


def test_a_linked_plugin_file_is_passed_over(shop: Path, tmp_path: Path) -> None:
    """A link to code elsewhere is not code of the book."""
    (tmp_path / "elsewhere.py").write_text("x = 2\n")
    (shop / "plugins" / "linked.py").symlink_to(tmp_path / "elsewhere.py")
    assert [one.name for one in plugin_sources(shop)] == ["labels"]


def test_a_linked_plugin_folder_is_passed_over(shop: Path, tmp_path: Path) -> None:
    """A book whose `plugins` is a link has no plugins."""
    other = tmp_path / "other"
    other.mkdir()
    (other / "plugins").symlink_to(shop / "plugins")
    assert plugin_sources(other) == []


def test_a_book_without_plugins_has_none(tmp_path: Path) -> None:
    """No folder, no plugins, no fault."""
    assert plugin_sources(tmp_path) == []


def test_nothing_is_trusted_before_it_is_said(shop: Path, config: Path) -> None:
    """A new book's code is off."""
    assert trusted(config, shop) == {}


def test_what_was_trusted_is_known_by_digest(shop: Path, config: Path) -> None:
    """The digest at the time of trusting is kept."""
    files = plugin_sources(shop)
    trust(config, shop, files)
    assert trusted(config, shop) == {"labels": files[0].digest}


def test_a_changed_file_is_not_what_was_trusted(shop: Path, config: Path) -> None:
    """One changed byte is another digest."""
    trust(config, shop, plugin_sources(shop))
    (shop / "plugins" / "labels.py").write_text("x = 2\n")
    (now,) = plugin_sources(shop)
    assert trusted(config, shop)["labels"] != now.digest


def test_trust_is_a_books_own(shop: Path, config: Path, tmp_path: Path) -> None:
    """The same file in another book is not trusted with it."""
    trust(config, shop, plugin_sources(shop))
    assert trusted(config, tmp_path / "another") == {}


def test_a_book_is_known_through_a_link(shop: Path, config: Path, tmp_path: Path) -> None:
    """A book that is reached by another name is the same book."""
    trust(config, shop, plugin_sources(shop))
    (tmp_path / "link").symlink_to(shop)
    assert trusted(config, tmp_path / "link") == trusted(config, shop)


def test_trusting_nothing_takes_trust_back(shop: Path, config: Path, tmp_path: Path) -> None:
    """An empty list forgets the book, and no other."""
    files = plugin_sources(shop)
    trust(config, shop, files)
    trust(config, tmp_path / "another", files)
    trust(config, shop, [])
    assert (trusted(config, shop), len(trusted(config, tmp_path / "another"))) == ({}, 1)


def test_the_note_is_private(shop: Path, config: Path) -> None:
    """Nobody else can write down what this user trusts."""
    trust(config, shop, plugin_sources(shop))
    modes = [stat.S_IMODE(path.stat().st_mode) for path in (config, config / FILE)]
    assert modes == [0o700, 0o600]


@pytest.mark.parametrize(
    "damage",
    ["", "{", "[]", "5", '{"BOOK": 5}', '{"BOOK": ["labels"]}', b"\xff\xfe"],
    ids=["empty", "cut off", "list", "number", "no names", "names alone", "bytes"],
)
def test_a_damaged_note_trusts_nothing(shop: Path, config: Path, damage: str | bytes) -> None:
    """What cannot be read as a note is no permission to run code."""
    config.mkdir(parents=True)
    data = damage if isinstance(damage, bytes) else damage.replace("BOOK", str(shop)).encode()
    (config / FILE).write_bytes(data)
    assert trusted(config, shop) == {}


def test_a_damaged_note_can_be_written_anew(shop: Path, config: Path) -> None:
    """Saying again what is trusted mends the note."""
    config.mkdir(parents=True)
    (config / FILE).write_text("{")
    trust(config, shop, plugin_sources(shop))
    assert list(json.loads((config / FILE).read_text())) == [str(shop.resolve())]


def test_a_note_that_cannot_be_written_is_said(ordinary: Path) -> None:
    """The error names the file and what to look at."""
    (ordinary / "plugins").mkdir()
    (ordinary / "plugins" / "labels.py").write_text("x = 1\n")
    (ordinary / "config").mkdir()
    (ordinary / "config").chmod(0o500)
    with pytest.raises(BookError) as caught:
        trust(ordinary / "config" / "fixbook", ordinary, plugin_sources(ordinary))
    assert FILE in caught.value.why and caught.value.hint == "look at the folder's permissions"


def test_a_plugin_file_that_cannot_be_read_is_passed_over(ordinary: Path) -> None:
    """What cannot be digested cannot be trusted, and does not stop the others."""
    (ordinary / "plugins").mkdir()
    for name in ("labels", "locked"):
        (ordinary / "plugins" / f"{name}.py").write_text("x = 1\n")
    (ordinary / "plugins" / "locked.py").chmod(0)
    assert [one.name for one in plugin_sources(ordinary)] == ["labels"]
