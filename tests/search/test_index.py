"""The index as a whole: building, refreshing, versions, private folder."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fixbook.core.query import Document, Request, Words
from fixbook.errors import IndexFolderError
from fixbook.search import Index, IndexDamagedError, State


def keys(index: Index, words: str) -> list[str]:
    """Give the keys that a search finds, best first."""
    return [hit.key for hit in index.search(Request(words)).hits]


def one(key: str, title: str) -> Document:
    """Give a document with a title alone."""
    return Document(key, f"{key}.md", {"title": title})


def test_a_missing_index_says_so(folder: Path) -> None:
    """Nothing is made by looking, and nothing is an error."""
    index = Index(folder, "1")
    assert (index.condition().state, index.sources(), folder.exists()) == (
        State.MISSING, {}, False,
    )  # fmt: skip


def test_searching_without_an_index_is_reported(folder: Path) -> None:
    """The caller is told to build one."""
    with pytest.raises(IndexDamagedError):
        Index(folder, "1").search(Request("hum"))


def test_every_write_up_is_found_by_every_word_of_its_title(
    index: Index, book: Sequence[Document]
) -> None:
    """Index, then find by each word, small words included."""
    for document in book:
        for word in document.parts["title"].split():
            assert document.key in keys(index, word.lstrip("-"))


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    words=st.text()
    | st.lists(st.sampled_from('hum "not "-on" AND ( ) -15V a/c * \0 : 33u'.split())).map(" ".join)
)
def test_no_query_is_an_error(index: Index, words: str) -> None:
    """Any text gives findings, finished or while it is being typed."""
    for typing in (False, True):
        assert index.search(Request(words, typing=typing)).query == words


def test_ten_thousand_words_give_an_answer_and_a_note(index: Index) -> None:
    """A pasted page is searched by its first words."""
    assert index.search(Request("hum " + "word " * 10_000)).notes


def test_sources_are_known_with_their_stamps(make: Callable[..., Index], folder: Path) -> None:
    """A later process sees what each source looked like."""
    make([one("a", "x"), one("b", "y")])
    assert Index(folder, "1").sources() == {"a.md": "1", "b.md": "1"}


def test_a_changed_source_replaces_its_documents(make: Callable[..., Index]) -> None:
    """The old words are gone, the new ones are found, the others stay."""
    index = make([one("a", "zim"), one("b", "zap")])
    index.update({"a.md": [one("a", "zot"), one("a2", "zot")]}, stamps={"a.md": "2"})
    assert [keys(index, w) for w in ("zim", "zot", "zap")] == [[], ["a", "a2"], ["b"]]


def test_a_removed_source_is_gone(make: Callable[..., Index]) -> None:
    """Its documents and its stamp are forgotten."""
    index = make([one("a", "zim"), one("b", "zap")])
    index.update({}, removed=["a.md"], stamps={})
    assert (keys(index, ""), index.sources()) == (["b"], {"b.md": "1"})


def test_a_source_without_documents_is_remembered(make: Callable[..., Index]) -> None:
    """A broken file is not read again and again."""
    index = make([one("a", "zim")])
    index.update({"bad.md": []}, stamps={"bad.md": "7"})
    assert index.sources() == {"a.md": "1", "bad.md": "7"}


def test_a_source_with_the_stamp_it_has_is_skipped(make: Callable[..., Index]) -> None:
    """What another process took in meanwhile is not taken in twice."""
    index = make([one("a", "zim")])
    done = index.update({"a.md": [one("a", "zim")]}, stamps={"a.md": "1"})
    assert done.added == 0


def test_stamps_may_come_while_documents_are_read(folder: Path) -> None:
    """A lazy reader fills the stamps as it goes."""
    stamps: dict[str, str] = {}

    def read() -> Iterator[tuple[str, list[Document]]]:
        stamps["a.md"] = "5"
        yield "a.md", [one("a", "zim")]

    index = Index(folder, "1")
    index.update(read(), stamps=stamps)
    assert index.sources() == {"a.md": "5"}


def test_another_version_is_built_again(make: Callable[..., Index], folder: Path) -> None:
    """An index of another version is neither searched nor added to."""
    make([one("a", "zim")])
    index = Index(folder, "2")
    assert (index.condition().state, index.sources()) == (State.OTHER_VERSION, {})
    index.update({"b.md": [one("b", "zap")]}, stamps={})
    assert keys(index, "") == ["b"]


def test_new_words_alone_need_no_rebuilding(make: Callable[..., Index]) -> None:
    """Synonyms take effect at once, and no document is read for it."""
    index = make([one("a", "zim")])
    done = index.update({}, stamps={}, words=Words((("zam", "zim"),)))
    assert (done.added, keys(index, "zam")) == (0, ["a"])


def test_an_open_index_sees_what_others_write(make: Callable[..., Index], folder: Path) -> None:
    """A search answers from the newest state without being opened again."""
    index = make([one("a", "zim")])
    Index(folder, "1").update({"b.md": [one("b", "zim")]}, stamps={})
    assert keys(index, "zim") == ["a", "b"]


@settings(max_examples=25, deadline=None)
@given(
    steps=st.lists(
        st.dictionaries(
            st.sampled_from("abcdef"),
            st.none() | st.sampled_from(["zim zap", "zot", "zap zed zim"]),
            min_size=1,
        ),
        min_size=1,
        max_size=14,
    )
)
def test_any_history_ends_in_what_the_sources_say(
    steps: list[dict[str, str | None]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Adding, changing and removing in any order finds as the last state alone would."""
    index = Index(tmp_path_factory.mktemp("history") / "index", "1")
    now: dict[str, str] = {}
    for step in steps:
        changed = {s: [Document(s, s, {"body": text})] for s, text in step.items() if text}
        removed = [s for s, text in step.items() if text is None]
        index.update(changed, removed=removed, stamps={})
        now = {s: t for s, t in {**now, **step}.items() if t is not None}
    for word in ("zim", "zap", "zot", "zed"):
        assert sorted(keys(index, word)) == sorted(s for s, t in now.items() if word in t.split())


def test_many_small_changes_do_not_pile_up(make: Callable[..., Index], folder: Path) -> None:
    """Small segments are put together, and files of old generations go."""
    index = make([one("a", "zim")])
    for n in range(40):
        index.update({f"s{n}.md": [one(f"k{n}", "zim")]}, stamps={})
    assert len(list(folder.glob("*.trm"))) < 16 and index.search(Request("zim")).total == 41


def test_the_folder_and_its_files_are_private(index: Index, folder: Path) -> None:
    """Nobody else can read or write the index."""
    modes = {stat.S_IMODE(path.stat().st_mode) & 0o077 for path in [folder, *folder.iterdir()]}
    assert modes == {0} or os.name == "nt"


@pytest.mark.skipif(os.name == "nt", reason="permissions of that kind are POSIX")
@pytest.mark.parametrize("mode", [0o770, 0o707, 0o777])
def test_a_folder_that_others_can_write_is_refused(index: Index, folder: Path, mode: int) -> None:
    """What others could have put there is never read."""
    folder.chmod(mode)
    with pytest.raises(IndexFolderError, match="other users"):
        Index(folder, "1").sources()


@pytest.mark.skipif(os.name == "nt", reason="making links needs rights there")
def test_a_link_in_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    """A link may lead to someone else's folder."""
    (tmp_path / "there").mkdir(mode=0o700)
    (tmp_path / "index").symlink_to(tmp_path / "there")
    with pytest.raises(IndexFolderError, match="not a folder"):
        Index(tmp_path / "index", "1").sources()


def test_a_file_in_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    """The message names the folder and says what to do."""
    (tmp_path / "index").write_text("x", encoding="utf-8")
    with pytest.raises(IndexFolderError) as caught:
        Index(tmp_path / "index", "1").update({}, stamps={})
    assert str(tmp_path / "index") in caught.value.why and caught.value.hint


def test_a_few_changes_in_a_row_leave_a_large_segment_alone(folder: Path) -> None:
    """Small segments are merged with each other, not with the thousand documents beside them."""
    index = Index(folder, "1")
    many = {f"s{n}": [one(f"k{n}", "hum in a box")] for n in range(130)}
    index.update(many, stamps={})
    large = max(folder.glob("*.docs"), key=lambda path: path.stat().st_size)
    for n in range(20):
        index.update({f"s{n}": [one(f"k{n}", "crackle in a box")]}, stamps={})
    assert large.exists()
    assert len(list(folder.glob("*.docs"))) < 12
