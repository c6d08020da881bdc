"""Pages in a real browser: offline, quiet, within their sides, usable without a mouse."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

PHONE, DESK = 360, 1280
Seen = Any  # of conftest.py, which cannot be imported
A4 = 718
"""CSS pixels of A4 between margins of 10 mm: 190 mm at 96 to the inch."""


@pytest.fixture(scope="module")
def starter(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Print a part of the starter book once: contents, and every page of three units."""
    from fixbook.app.bench import LibraryBench
    from fixbook.app.folders import Folders
    from fixbook.app.library import Library
    from fixbook.app.printing_book import print_book
    from fixbook.settings import Place

    home = tmp_path_factory.mktemp("printed")
    library = Library(Place(None, "nothing"), Folders(home / "c", home / "d", home / "k"))
    whole = library.filed
    library.filed = lambda units=(): whole(UNITS)  # type: ignore[method-assign]
    folder = home / "book"
    print_book(library, LibraryBench(library), folder, lambda *_: None)
    yield folder


UNITS = ("optical-player", "power-amplifier")
SHEET = "sheets/laser-trimmer-out-of-window.html"
PAGES = ("index.html", "signs.html", SHEET)


@pytest.mark.parametrize("name", PAGES)
def test_quiet_and_alone(starter: Path, tab: Seen, name: str) -> None:
    """A page opens without a word on the console, and asks for nothing but the two scripts of
    the search, which the contents alone have beside them."""
    tab.open(starter / name)
    scripts = [(starter / one).as_uri() for one in ("words.js", "search.js")]
    wanted = [(starter / name).as_uri(), *(scripts if name == "index.html" else [])]
    assert (tab.said, tab.requests) == ([], wanted)


@pytest.mark.parametrize("name", PAGES)
def test_nothing_overflows(starter: Path, tab: Seen, name: str) -> None:
    """Nothing reaches beyond the sides on a phone, on a desk, and on A4."""
    page, found = tab.open(starter / name), []
    for media, width in (("screen", PHONE), ("screen", DESK), ("print", A4)):
        page.emulate_media(media=media)
        page.set_viewport_size({"width": width, "height": 900})
        found += [(width, one) for one in tab.too_wide()]
    assert found == []


@pytest.mark.parametrize("name", ["index.html", "units.html", SHEET])
def test_accessible(starter: Path, tab: Seen, npm: Callable[[str], Path], name: str) -> None:
    """The checker axe-core, made by others, finds nothing in a page."""
    script = npm("axe-core/axe.min.js").read_text(encoding="utf-8")
    page = tab.open(starter / name)
    page.evaluate(script)  # as a debugger does it: the page's own policy lets no script in
    found = page.evaluate("async () => (await axe.run()).violations")
    assert [(one["id"], one["nodes"][0]["html"]) for one in found] == []


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("skips and jumps", "lens-dirty"),
        ("volume crackles when i turn it", "amp-volume-crackle"),
        ("humms", "amp-ground-loop"),
        ("one side drops out until turned up", "amp-relay-contacts"),
    ],
)
def test_search(starter: Path, tab: Seen, words: str, wanted: str) -> None:
    """A customer's words find the write-up among the first, one misspelt too, and lead to it."""
    page = tab.open(starter / "index.html")
    page.fill("#words", words)
    hits = page.eval_on_selector_all("#hits a", "all => all.map((one) => one.getAttribute('href'))")
    assert f"sheets/{wanted}.html" in hits[:5]


def test_hit_opens_its_page(starter: Path, tab: Seen) -> None:
    """A finding is followed from the keyboard alone."""
    page = tab.open(starter / "index.html")
    page.keyboard.press("Tab")
    page.keyboard.type("relay contacts")
    page.keyboard.press("Tab")
    title = page.evaluate("document.activeElement.textContent")
    page.keyboard.press("Enter")
    page.wait_for_load_state()
    assert page.text_content("h1") == title and "/sheets/" in page.url


def test_nothing_found(starter: Path, tab: Seen) -> None:
    """Words that no write-up has are said to find nothing."""
    page = tab.open(starter / "index.html")
    page.fill("#words", "qqqqxxzz")
    assert page.text_content("#told") == "Nothing found. Try other words, or the contents below."


def test_links_lead_somewhere(starter: Path, tab: Seen) -> None:
    """Every link of every page leads to a page of the book."""
    dead = []
    for path in sorted(starter.rglob("*.html")):
        for target in _links(tab, path):
            file = (path.parent / target.split("#")[0]).resolve()
            dead += [] if file.is_file() else [(path.name, target)]
    assert dead == []


def _links(tab: Seen, path: Path) -> list[str]:
    import re

    return re.findall(r'<a href="([^"]*)"', path.read_text(encoding="utf-8"))


def test_boxes_are_ticked(starter: Path, tab: Seen) -> None:
    """A step is ticked with the mouse and from the keyboard."""
    page = tab.open(starter / SHEET)
    first, second = (page.locator(".steps input").nth(number) for number in (0, 1))
    first.click()
    second.focus()
    page.keyboard.press("Space")
    assert first.is_checked() and second.is_checked()


def test_pictures_are_there(starter: Path, tab: Seen) -> None:
    """Every picture and drawing of a page is really drawn."""
    page = tab.open(starter / SHEET)
    widths: list[int] = page.eval_on_selector_all(
        "img", "all => all.map((one) => one.naturalWidth)"
    )
    assert len(widths) >= 2 and all(widths)


def test_pdf(starter: Path, fixbook: Any, tmp_path: Path, chromium: Any) -> None:
    """`--pdf` makes a PDF of the wanted size."""
    file = tmp_path / "a.pdf"
    ran = fixbook("calc", "divider", "12V", "10k", "4k7", "--pdf", str(file), "--paper", "letter")
    assert (ran.status, ran.err) == (0, "")
    assert b"/MediaBox [0 0 612 792]" in file.read_bytes()
