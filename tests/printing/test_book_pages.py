"""`fixbook book print`: what is written, what is left alone, and where it may go."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Book = Any
Fixbook = Callable[..., Any]


@pytest.fixture
def pages(book: Book, fixbook: Fixbook, tmp_path: Path) -> Path:
    """Print a book of two write-ups; give the folder."""
    book.add("amp-hum", title="It hums")
    book.add("index", title="Called like a page of its own")
    assert fixbook("book", "print", str(tmp_path / "pages")).status == 0
    return tmp_path / "pages"


def test_files(pages: Path) -> None:
    """There is a page for each write-up, the contents three ways, and the search."""
    found = sorted(str(one.relative_to(pages)) for one in pages.rglob("*") if one.is_file())
    assert found == [
        "index.html", "pages.json", "search.js", "sheets/amp-hum.html", "sheets/index.html",
        "signs.html", "units.html", "words.js",
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["index.html", "units.html", "signs.html", "sheets/amp-hum.html"])
def test_valid(pages: Path, name: str) -> None:
    """Each page is HTML without a fault."""
    html5lib = pytest.importorskip("html5lib")
    html5lib.HTMLParser(strict=True).parse((pages / name).read_text(encoding="utf-8"))


def test_scripts_are_files_of_the_contents_alone(pages: Path) -> None:
    """Only the contents let scripts in, from their own folder; no page has one within it."""
    for path in pages.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        allowed = "script-src 'self'" in text
        assert allowed == (path == pages / "index.html"), path
        scripts = re.findall(r"<script.*?</script>", text, re.DOTALL)
        assert scripts == (
            [f'<script src="{one}" defer></script>' for one in ("words.js", "search.js")]
            if allowed
            else []
        )


def test_by_sign(pages: Path) -> None:
    """Under a sign's question stand the write-ups that show it, and how often."""
    text = (pages / "signs.html").read_text(encoding="utf-8")
    group = text[text.index("<h2>Does it drone?</h2>") :]
    assert re.search(r'<a href="sheets/amp-hum.html">It hums</a>, always', group)


def test_lay_words_are_searched(pages: Path) -> None:
    """How a customer says a sign is among the words of the search."""
    text = (pages / "words.js").read_text(encoding="utf-8")
    book = json.loads(text.partition("BOOK = ")[2].rstrip(";\n"))
    assert {"low", "note", "all", "time"} <= set(book["words"])
    assert ["relay", "contactor"] in book["same"]


def test_unchanged_is_left_alone(pages: Path, book: Book, fixbook: Fixbook) -> None:
    """The second time nothing is written; after a change, only what it changed."""
    before = {one: one.stat().st_mtime_ns for one in pages.rglob("*") if one.is_file()}
    ran = fixbook("book", "print", str(pages), "--json")
    assert json.loads(ran.out)["written"] == 0
    book.add("amp-hum", title="It drones")
    fixbook("book", "print", str(pages))
    changed = {one.name for one, stamp in before.items() if one.stat().st_mtime_ns != stamp}
    assert changed == {"amp-hum.html", "index.html", "signs.html", "units.html", "words.js"}


def test_gone_entries_go(pages: Path, book: Book, fixbook: Fixbook) -> None:
    """The page of a write-up that is gone goes too; a file of somebody else stays."""
    (pages / "sheets" / "mine.html").write_text("<p>mine", encoding="utf-8")
    (book.folder / "entries" / "test-amp" / "index.md").unlink()
    ran = fixbook("book", "print", str(pages), "--json")
    assert json.loads(ran.out)["removed"] == 1
    assert sorted(one.name for one in (pages / "sheets").iterdir()) == ["amp-hum.html", "mine.html"]


def test_links_between_pages(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A link to another write-up leads to its page; one to nothing is words alone."""
    body = "\n## How it shows\n\nAs [that](fault:amp-dead) and [this](fault:amp-none).\n"
    book.add("amp-hum", body=body)
    book.add("amp-dead")
    fixbook("book", "print", str(tmp_path / "pages"))
    text = (tmp_path / "pages" / "sheets" / "amp-hum.html").read_text(encoding="utf-8")
    assert '<a href="amp-dead.html">that</a>' in text and "amp-none.html" not in text


@pytest.mark.parametrize("where", ["entries", "entries/test-amp", "."])
def test_not_into_the_book(book: Book, fixbook: Fixbook, where: str) -> None:
    """Pages never go among the write-ups, nor into the book's own folder."""
    book.add("amp-hum")
    ran = fixbook("book", "print", str(book.folder / where))
    assert ran.status == 2 and "name a new folder" in ran.err
    assert not list(book.folder.rglob("*.html"))


def test_not_into_a_folder_of_others(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A folder with other files in it is left as it is."""
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "index.html").write_text("<p>mine", encoding="utf-8")
    ran = fixbook("book", "print", str(tmp_path / "letters"))
    assert ran.status == 2 and (tmp_path / "letters" / "index.html").read_text() == "<p>mine"


def test_goes_on_after_a_kill(pages: Path, fixbook: Fixbook) -> None:
    """A folder in which printing was stopped half-way is printed into again."""
    for name in ("index.html", "pages.json", "words.js"):
        (pages / name).unlink()
    (pages / "sheets" / "amp-hum.html").write_text("", encoding="utf-8")
    assert fixbook("book", "print", str(pages)).status == 0
    assert "It hums" in (pages / "sheets" / "amp-hum.html").read_text(encoding="utf-8")
