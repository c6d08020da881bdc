"""The index follows the files by itself: missing, damaged, outdated, moved, and every change."""

from __future__ import annotations

import json
import os
import shutil

import pytest


@pytest.fixture
def ids(fixbook):
    """Search, and give the ids that were found."""

    def search(words: str) -> list[str]:
        ran = fixbook("find", words, "--json")
        assert ran.err == ""
        return sorted(hit["id"] for hit in json.loads(ran.out)["hits"])

    return search


@pytest.fixture
def cache(book, fixbook):
    """Give the cache folder of the book, with an index of one write-up in it."""
    book.add("amp-one", title="Quibblewort hums")
    assert fixbook("find", "quibblewort").status == 0
    from pathlib import Path

    return Path(json.loads(fixbook("book", "where", "--json").out)["cache"])


def test_a_missing_index_is_made(cache, ids):
    """Removing the cache costs time, not answers."""
    shutil.rmtree(cache)
    assert ids("quibblewort") == ["amp-one"]


def test_every_file_of_the_cache_may_be_missing(cache, ids):
    """Whichever file of the cache goes, the answer stays."""
    for path in [one for one in cache.rglob("*") if one.is_file()]:
        path.unlink(missing_ok=True)
        assert ids("quibblewort") == ["amp-one"]


@pytest.mark.parametrize("damage", [b"", b"\0" * 100, b"{", b"[]", b"\xff\xfe\xfd"], ids=repr)
def test_every_file_of_the_cache_may_be_damaged(damage, cache, ids):
    """Whichever file of the cache is damaged, the answer stays, and no question is asked."""
    for path in [one for one in cache.rglob("*") if one.is_file()]:
        if path.exists():
            path.write_bytes(damage)
        assert ids("quibblewort") == ["amp-one"]


@pytest.mark.parametrize("damage", [b"", b"{", b'{"path": 3}', b'{"path": [], "plugins": [1]}'],
                         ids=repr)  # fmt: skip
def test_a_damaged_list_of_plugins_is_made_anew(damage, cache, fixbook):
    """The kept list of installed plugins is no more than a saving of time."""
    (cache.parent.parent / "plugins.json").write_bytes(damage)
    assert fixbook("calc").out.count("\n") > 20


def test_an_index_of_another_version_is_made_anew(cache, ids):
    """What an older or newer program left is passed over."""
    path = cache / "index" / "index.json"
    _, _, body = path.read_bytes().partition(b"\n")
    from zlib import crc32

    body = body.replace(b'"format": "1 ', b'"format": "0 ', 1)
    path.write_bytes(b"%08x\n" % crc32(body) + body)
    assert ids("quibblewort") == ["amp-one"]


def test_a_moved_book_is_found_at_its_new_place(cache, book, ids, tmp_path, monkeypatch):
    """The index belongs to the files where they are: moved, they are read again."""
    shutil.move(book.folder, tmp_path / "moved")
    monkeypatch.setenv("FIXBOOK_BOOK", str(tmp_path / "moved"))
    assert ids("quibblewort") == ["amp-one"]


def test_another_book_at_an_old_place_is_not_mixed_up(cache, book, ids):
    """A folder whose content was exchanged gives the new content."""
    shutil.rmtree(book.folder / "entries" / "test-amp")
    book.add("amp-two", title="Another quibblewort")
    assert ids("quibblewort") == ["amp-two"]


def test_the_cache_is_private(cache):
    """Nobody else can read or write what is kept."""
    for path in [cache, *cache.rglob("*")]:
        assert path.stat().st_mode & 0o077 == 0, path


def test_nothing_is_written_into_the_book(cache, book, fixbook):
    """Searching, showing and proofing leave the book's folder as it is."""
    before = {path: path.stat().st_mtime_ns for path in book.folder.rglob("*")}
    for words in (("find", "hum"), ("sheet", "amp-one"), ("proof",), ("book", "refresh")):
        fixbook(*words)
    assert {path: path.stat().st_mtime_ns for path in book.folder.rglob("*")} == before


@pytest.fixture
def no_cache(book, isolation, monkeypatch):
    """Give a book with a write-up, and a cache folder that cannot be made."""
    book.add("amp-one", title="Quibblewort hums")
    (isolation / "file").write_text("x", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(isolation / "file" / "cache"))


def test_a_search_without_a_cache_folder_says_what_to_do(no_cache, fixbook):
    """Where no index can be kept, the message names the folder and the way out."""
    ran = fixbook("find", "quibblewort")
    assert (ran.status, ran.out) == (2, "")
    assert "cannot be made" in ran.err
    assert "XDG_CACHE_HOME" in ran.err


@pytest.mark.parametrize(
    "words",
    [("sheet", "amp-one"), ("calc",), ("calc", "esr-limit", "--help"), ("proof",),
     ("kit", "amp-one"), ("--help",)],
    ids=["sheet", "calc", "help of calc", "proof", "kit", "help"],
)  # fmt: skip
def test_what_needs_no_index_works_without_a_cache(words, no_cache, fixbook):
    """A cache that cannot be written costs time, not answers."""
    ran = fixbook(*words)
    assert (ran.status in (0, 1), ran.err, bool(ran.out)) == (True, "", True)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_cache_is_told(cache, book, fixbook):
    """A cache folder without permission is an error in words when the index has to change."""
    book.add("amp-two")
    (cache / "index").chmod(0o500)
    try:
        ran = fixbook("find", "hum")
    finally:
        (cache / "index").chmod(0o700)
    assert (ran.status, "fault of the program" in ran.err) == (2, False)


@pytest.mark.parametrize("mode", [0o777, 0o770], ids=oct)
def test_an_index_that_others_can_write_is_never_opened(mode, cache, fixbook):
    """An index holds what could run as this user, so a shared folder is refused in words."""
    (cache / "index").chmod(mode)
    ran = fixbook("find", "quibblewort")
    assert (ran.status, "can be written by other users" in ran.err) == (2, True)


def test_a_changed_file_is_seen_at_once(cache, book, ids):
    """The next search has the new words and not the old ones."""
    book.add("amp-one", title="Snorklewhip hums")
    assert (ids("snorklewhip"), ids('"quibblewort"')) == (["amp-one"], [])


def test_a_change_of_the_same_size_within_the_same_tick_is_seen(cache, book, ids):
    """A file that changed again under the same size and time is read again."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    info = path.stat()
    book.add("amp-one", title="Snorklewhip hums")
    os.utime(path, ns=(info.st_atime_ns, info.st_mtime_ns))
    assert path.stat().st_size == info.st_size
    assert ids("snorklewhip") == ["amp-one"]


def test_an_added_file_is_seen_at_once(cache, book, ids):
    """A new write-up is found by the next search."""
    book.add("amp-two", title="Another quibblewort")
    assert ids("quibblewort") == ["amp-one", "amp-two"]


def test_a_deleted_file_is_gone_at_once(cache, book, ids):
    """What was deleted is found no more."""
    (book.folder / "entries" / "test-amp" / "amp-one.md").unlink()
    assert ids("quibblewort") == []


def test_a_renamed_file_is_seen_at_once(cache, book, ids):
    """A write-up under a new name and id is found under it alone."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    text = path.read_text(encoding="utf-8").replace("id: amp-one", "id: amp-nine")
    path.write_text(text, encoding="utf-8")
    path.rename(path.with_name("amp-nine.md"))
    assert ids("quibblewort") == ["amp-nine"]


def test_a_changed_vocabulary_is_seen_at_once(cache, book, ids):
    """New synonyms and wordings find without being told."""
    path = book.folder / "entries" / "vocabulary" / "more.yaml"
    path.write_text("synonyms:\n  - [quibblewort, snorklewhip]\n", encoding="utf-8")
    assert ids("snorklewhip") == ["amp-one"]


def test_the_first_of_two_files_with_one_id_is_found(cache, book, ids, fixbook):
    """Two files with one id give one hit, and the answer says that something is wrong."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    shutil.copy(path, path.with_name("amp-two.md"))
    assert ids("quibblewort") == ["amp-one"]
    assert "'fixbook proof' says which" in fixbook("find", "quibblewort").out


def test_two_misnamed_files_with_one_id_give_one_hit(cache, book, ids):
    """Where neither file has the id as its name, the first one holds."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    for name in ("amp-aaa", "amp-bbb"):
        shutil.copy(path, path.with_name(f"{name}.md"))
    path.unlink()
    assert ids("quibblewort") == ["amp-one"]


def test_the_second_file_takes_over_when_the_first_one_goes(cache, book, ids):
    """A namesake is not forgotten: its turn comes when the first file is removed."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    text = path.read_text(encoding="utf-8").replace("Quibblewort", "Snorklewhip")
    path.with_name("amp-two.md").write_text(text, encoding="utf-8")
    assert ids("snorklewhip") == []
    path.unlink()
    assert ids("snorklewhip") == ["amp-one"]


def test_a_sheet_shows_a_change_of_the_same_size_and_time(cache, book, fixbook):
    """A kept sheet is never older than its file, even within the clock's grain."""
    path = book.folder / "entries" / "test-amp" / "amp-one.md"
    info = path.stat()
    fixbook("sheet", "amp-one")
    book.add("amp-one", title="Snorklewhip hums")
    os.utime(path, ns=(info.st_atime_ns, info.st_mtime_ns))
    assert "Snorklewhip hums" in fixbook("sheet", "amp-one").out


def old(path) -> None:
    """Make a file as old as one that has lain there for long."""
    os.utime(path, ns=(10**18, 10**18))


def test_a_kept_sheet_shows_what_its_links_lead_to_now(cache, book, fixbook):
    """A sheet is laid out anew when a write-up that it refers to has changed."""
    book.add("amp-one", body="\nSee [the other](fault:amp-two).\n")
    for path in (*book.folder.rglob("*.md"), *book.folder.rglob("*.yaml")):
        old(path)
    first = fixbook("sheet", "amp-one").out
    book.add("amp-two", title="Snorklewhip hums")
    assert ("not in this book" in first, "Snorklewhip" in fixbook("sheet", "amp-one").out) == (
        True, True,
    )  # fmt: skip


def test_a_kept_sheet_is_the_same_sheet(cache, book, fixbook):
    """Shown from the cache or laid out anew, a sheet has the same lines."""
    for path in (*book.folder.rglob("*.md"), *book.folder.rglob("*.yaml")):
        old(path)
    first = fixbook("sheet", "amp-one").out
    assert (cache / "sheets").is_dir()
    assert fixbook("sheet", "amp-one").out == first


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"stamp": 1}'], ids=repr)
def test_a_damaged_kept_sheet_is_laid_out_anew(damage, cache, book, fixbook):
    """What is kept can always be made again."""
    for path in (*book.folder.rglob("*.md"), *book.folder.rglob("*.yaml")):
        old(path)
    first = fixbook("sheet", "amp-one").out
    for path in (cache / "sheets").iterdir():
        path.write_bytes(damage)
    assert fixbook("sheet", "amp-one").out == first


def test_a_kept_sheet_with_blocks_that_are_none_is_laid_out_anew(cache, book, fixbook):
    """What was changed by hand is passed over, whatever it holds."""
    for path in (*book.folder.rglob("*.md"), *book.folder.rglob("*.yaml")):
        old(path)
    first = fixbook("sheet", "amp-one").out
    (kept,) = (cache / "sheets").iterdir()
    head, _, text = kept.read_text(encoding="utf-8").partition("\n")
    good = json.loads(text)
    for block in ({"kind": "zzz"}, {}, 7, None, {"kind": "text"}, {"kind": "table", "rows": 3},
                  {"kind": "text", "heading": 1, "text": 2, "markdown": False, "weight": "info"},
                  {"kind": "text", "heading": "", "text": "", "weight": "zzz"}):  # fmt: skip
        changed = json.dumps({**good, "blocks": [block]})
        kept.write_text(f"{head}\n{changed}", encoding="utf-8")
        assert fixbook("sheet", "amp-one").out == first


def test_a_namesake_in_another_folder_takes_over_at_once(cache, book, ids):
    """Whose id a file has depends on the other files, also while it was changed only just now."""
    first = book.add("amp-two", title="Wobblefist here")
    second = first.parent.parent / "zz-other" / first.name
    second.parent.mkdir()
    shutil.copy(first, second)
    second.write_text(second.read_text(encoding="utf-8").replace("here", "there"), encoding="utf-8")
    assert ids("wobblefist there") == ["amp-two"]
    first.unlink()
    assert ids("there") == ["amp-two"]


def test_what_was_written_just_now_is_taken_in_once(cache, book, monkeypatch):
    """While it may change under the same stamp its text is compared, and not laid open again."""
    from fixbook.app import indexing
    from fixbook.app.folders import user_folders
    from fixbook.app.indexing import BookIndex
    from fixbook.app.library import Library
    from fixbook.settings import Place

    def refreshed() -> tuple[int, int]:
        library = Library(Place(book.folder, "test"), user_folders())
        read: list[str] = []
        monkeypatch.setattr(library, "read", lambda shelf, path: read.append(path) or (None, []))
        return BookIndex(library).refresh().read, len(read)

    assert refreshed() == (1, 0)
    monkeypatch.setattr(indexing, "GRAIN_NS", 0)
    assert (refreshed(), refreshed()) == ((1, 0), (0, 0))
