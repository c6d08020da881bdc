"""`fixbook sheet --html`: what the page holds, and where it may be written."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Book = Any
Fixbook = Callable[..., Any]

PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><circle r="4"/></svg>'
BODY = """
## Step by step

1. Unplug it.
2. Measure, as [the other one](fault:amp-other) says.

![a circle](../pictures/circle.svg)

## Write down

The reading."""


@pytest.fixture
def page(book: Book, fixbook: Fixbook, tmp_path: Path) -> str:
    """Print a small write-up; give the page."""
    book.add("amp-hum", title="It hums & buzzes", body=BODY)
    pictures = book.folder / "entries" / "pictures"
    pictures.mkdir()
    (pictures / "circle.svg").write_text(PICTURE, encoding="utf-8")
    file = tmp_path / "sheet.html"
    assert fixbook("sheet", "amp-hum", "--html", str(file)).status == 0
    return file.read_text(encoding="utf-8")


def test_valid(page: str) -> None:
    """A sheet is HTML without a fault."""
    html5lib = pytest.importorskip("html5lib")
    html5lib.HTMLParser(strict=True).parse(page)


def test_policy(page: str) -> None:
    """The page's own policy lets in embedded pictures and its own style, nothing else."""
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy and re.sub(r"sha256-[\w+/=]+", "DIGEST", policy[1]) == (
        "default-src 'none'; img-src data:; style-src 'DIGEST'; base-uri 'none'; form-action 'none'"
    )


def test_cautions_first(page: str) -> None:
    """The full text of the cautions stands before everything that is to be done."""
    full = page.index("Local codes and licensed practice come first")
    assert full < page.index("<h2>Signs</h2>") < page.index("Unplug it.")


def test_steps_have_boxes(page: str) -> None:
    """Each step has a box to tick, with its number, though a picture stands under them."""
    assert re.findall(r'aria-label="(step \d done)"', page) == ["step 1 done", "step 2 done"] * 3


def test_targets_have_blanks(page: str) -> None:
    """Each target has its window and room for a reading before and after."""
    target = page[page.index("<h3>contact resistance</h3>") :]
    assert "window: 0 to 100 mohm" in target
    assert re.findall(r'aria-label="contact resistance, (\w+)"', target) == ["before", "after"]


def test_kit_has_boxes(page: str) -> None:
    """Each part, tool and supply has a box to tick."""
    labels = re.findall(r'<td class="box"><input type="checkbox" aria-label="([^"]*)"', page)
    assert labels == ["RL1 1 relay 24 V coil", "multimeter", "solder"]


def test_picture_is_embedded(page: str) -> None:
    """A picture of the book is in the page itself, as an image, with its words."""
    assert re.search(
        r'<img class="picture" src="data:image/svg\+xml;base64,[^"]+" alt="a circle">', page
    )


def test_foot(page: str) -> None:
    """The foot names the book's revision and the day, on each sheet of paper as well."""
    foot = r"amp-hum, Test, revision [0-9a-f]{8} of 1 write-ups, printed \d{4}-\d\d-\d\d"
    assert re.search(rf"<footer><p>{foot}</p>", page)
    assert re.search(rf'@bottom-left {{ content: "{foot}"', page)


def test_revision_follows_the_text(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """The revision changes with any text of the book, and with nothing else."""
    path = book.add("amp-hum")
    seen = []
    for text in (
        path.read_text("utf-8"),
        path.read_text("utf-8"),
        path.read_text("utf-8") + "More.",
    ):
        path.write_text(text, encoding="utf-8")
        fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"))
        seen += re.findall(r"revision (\w+)", (tmp_path / "a.html").read_text("utf-8"))[-1:]
    assert seen[0] == seen[1] != seen[2]


def test_reading_on_its_scale(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A reading that is checked stands in the page with its verdict."""
    book.add("amp-hum")
    file = str(tmp_path / "a.html")
    fixbook("sheet", "amp-hum", "--check", "contact resistance=200 mohm", "--html", file)
    text = Path(file).read_text(encoding="utf-8")
    assert '<strong class="bad">fail, high</strong>' in text
    assert "reading: 200 mohm" in text


@pytest.mark.parametrize(("paper", "size"), [("a4", "size: A4;"), ("letter", "size: letter;")])
def test_paper(book: Book, fixbook: Fixbook, tmp_path: Path, paper: str, size: str) -> None:
    """The size of the paper is what was asked for."""
    book.add("amp-hum")
    fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"), "--paper", paper)
    assert size in (tmp_path / "a.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["../../secret.svg", "../pictures/../../secret.svg", "/etc/passwd",
                                  "../pictures/no.svg", "../pictures/link.svg", "..%2fsecret.svg",
                                  "../pictures/notes.txt", "http://127.0.0.1/a.svg"])  # fmt: skip
def test_no_picture_from_outside(book: Book, fixbook: Fixbook, tmp_path: Path, name: str) -> None:
    """A picture that is not one of the book's is its words, whatever it is called."""
    book.add("amp-hum", body=f"\n## How it shows\n\n![the board]({name})\n")
    pictures = book.folder / "entries" / "pictures"
    pictures.mkdir()
    (book.folder / "secret.svg").write_text(PICTURE, encoding="utf-8")
    (pictures / "notes.txt").write_text("no picture", encoding="utf-8")
    (pictures / "link.svg").symlink_to(book.folder / "secret.svg")
    fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"))
    text = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert "[picture: the board]" in text and '<img class="picture"' not in text


def test_leaves_other_files_alone(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A file that fixbook did not make is never written over."""
    path = book.add("amp-hum")
    before = path.read_bytes()
    ran = fixbook("sheet", "amp-hum", "--html", str(path))
    assert (ran.status, path.read_bytes()) == (2, before)
    assert "is there already, and fixbook did not make it" in ran.err


def test_writes_over_its_own(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A page of an earlier run is replaced."""
    book.add("amp-hum")
    for _ in range(2):
        ran = fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"))
    assert ran.status == 0


def test_open_needs_a_file(book: Book, fixbook: Fixbook) -> None:
    """Opening without a file to write says what is missing."""
    book.add("amp-hum")
    ran = fixbook("sheet", "amp-hum", "--open")
    assert ran.status == 2 and "--html FILE" in ran.err


def test_open(
    book: Book, fixbook: Fixbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was written is opened, by its address as a file."""
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", lambda address: opened.append(address) or True)
    book.add("amp-hum")
    fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a b.html"), "--open")
    assert opened == [(tmp_path / "a b.html").as_uri()]


def test_no_printer(
    book: Book, fixbook: Fixbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without a Chromium `--pdf` says so, says what to do, and writes nothing."""
    monkeypatch.setenv("PATH", str(tmp_path))
    book.add("amp-hum")
    ran = fixbook("sheet", "amp-hum", "--pdf", str(tmp_path / "a.pdf"))
    assert ran.status == 2 and "--html FILE" in ran.err
    assert not (tmp_path / "a.pdf").exists()


def test_without_the_extra(
    book: Book, fixbook: Fixbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nothing draws, the page says the same in words."""
    monkeypatch.setattr("fixbook.render.drawing.svg.can_draw", lambda: False)
    book.add("amp-hum")
    fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"))
    text = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert "<figcaption>window: 0 to 100 mohm</figcaption>" in text and "<img" not in text


def test_record_of_a_calculation(fixbook: Fixbook, tmp_path: Path) -> None:
    """A calculation on paper has its inputs, formula, figures, sources, cautions and the day."""
    file = tmp_path / "a.html"
    fixbook("calc", "impedance", "capacitance=100u", "frequency=1k", "--html", str(file))
    text = file.read_text(encoding="utf-8")
    headings = re.findall(r"<h2>(.*?)</h2>", text)
    assert headings == [
        "Cautions", "Answer", "Against frequency", "Inputs", "Formula", "Assumed", "Sources",
    ]  # fmt: skip
    assert re.search(r"fixbook calc impedance, \d{4}-\d\d-\d\d", text)


def test_what_a_plugin_shows(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """A plugin's command is printed as well, its likelihoods drawn or told."""
    book.add("amp-hum")
    book.add("amp-dead", title="It is dead")
    file = tmp_path / "a.html"
    ran = fixbook("narrow", "low note", "--unit", "test-amp", "--html", str(file))
    text = file.read_text(encoding="utf-8")
    assert ran.status == 0 and "<h2>Left over</h2>" in text
    assert re.search(r'alt="(It is dead|Fault amp-hum): \d+ %;', text)


def test_job_notes_are_text(book: Book, fixbook: Fixbook, tmp_path: Path) -> None:
    """What stands in a job is text on its page, whatever it looks like."""
    book.add("amp-hum")
    note = "<img src=x onerror=alert(1)>"
    fixbook("job", "new", "--unit", "test-amp", "--number", "7", "--complaint", note)
    file = tmp_path / "a.html"
    assert fixbook("job", "show", "7", "--html", str(file)).status == 0
    text = file.read_text(encoding="utf-8")
    assert "&lt;img src=x onerror=alert(1)&gt;" in text and "<img" not in text
