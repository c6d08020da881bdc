"""Hostile strings wherever a page takes text: nothing runs, nothing leaks out of its place."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path
from typing import Any

import pytest

_spec = importlib.util.spec_from_file_location(
    "hostile_pages", Path(__file__).with_name("hostile_pages.py")
)
assert _spec and _spec.loader
hostile = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(hostile)

OWN = [
    "</style><script>alert(1)</script>", "--></title><img src=x onerror=alert(1)>",
    "javascript:alert(1)", "data:text/html,<script>alert(1)</script>", "\" onclick=\"alert(1)",
    "' onfocus='alert(1)", "{{ 7*7 }}{% raw %}", "\u202egnp.exe", "\x1b]0;title\x07", "\ud800",
    "amp-hum.html\" autofocus onfocus=\"alert(1)", "<svg/onload=alert(1)>", "]]><!--", "&#x202e;&lt;b&gt;",
    "fault:amp-hum?\"><b>", "x" * 3000, "![a](https://127.0.0.1/a.png)", "<https://127.0.0.1/>",
    "//127.0.0.1/share", "file:///etc/passwd", "\\\\server\\share\\a.png", "qx0xq qx1xq", "$x^2$ \\alpha",
]  # fmt: skip
"""Ways out of each place that a page has."""


@pytest.fixture
def strings() -> list[str]:
    """Give our own strings and those of a list that others published."""
    part = Path(__file__).parents[1] / "render" / "blns_part.json"
    return [
        *OWN,
        *(one for one in json.loads(part.read_text(encoding="utf-8"))["strings"][::6] if one),
    ]


def test_only_known_elements(strings: list[str]) -> None:
    """Whatever stands in a book, a page has its own elements, attributes and addresses alone."""
    pytest.importorskip("html5lib")
    assert hostile.unsafe(hostile.hostile_page(strings)) == []


def test_nothing_runs(strings: list[str], tab: Any, tmp_path: Path) -> None:
    """In a browser such a page runs nothing, asks for nothing, and stays within its sides.

    Its policy is taken away first: the escaping alone has to hold.
    """
    page = hostile.hostile_page(strings, drawn=False).replace("Content-Security-Policy", "x-none")
    (tmp_path / "page.html").write_text(page, encoding="utf-8", errors="replace")
    tab.page.set_viewport_size({"width": 360, "height": 800})
    tab.open(tmp_path / "page.html")
    assert (tab.said, len(tab.requests), tab.too_wide()) == ([], 1, [])


@pytest.mark.parametrize("text", OWN[:2], ids=range(2))
def test_names_in_drawings(text: str) -> None:
    """A name in a drawing ends up as text in it."""
    pytest.importorskip("matplotlib")
    from xml.etree import ElementTree

    from fixbook.render.drawing.svg import drawing_svg

    for block in hostile.drawings(text):
        tags = {
            one.tag.rsplit("}", 1)[-1] for one in ElementTree.fromstring(drawing_svg(block)).iter()
        }
        assert tags <= {
            "svg",
            "defs",
            "style",
            "g",
            "path",
            "text",
            "tspan",
            "use",
            "clipPath",
            "rect",
        }


def test_a_picture_runs_nothing(book: Any, fixbook: Any, tab: Any, tmp_path: Path) -> None:
    """A drawing of the book with a script and an address in it is shown, and does neither."""
    evil = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" onload="alert(1)">'
        '<script>alert(2)</script><image href="http://127.0.0.1:9/a.png"/><circle r="4"/></svg>'
    )
    book.add("amp-hum", body="\n## How it shows\n\n![the board](../pictures/evil.svg)\n")
    pictures = book.folder / "entries" / "pictures"
    pictures.mkdir()
    (pictures / "evil.svg").write_text(evil, encoding="utf-8")
    fixbook("sheet", "amp-hum", "--html", str(tmp_path / "a.html"))
    page = tab.open(tmp_path / "a.html")
    assert page.eval_on_selector("img.picture", "one => one.naturalWidth") == 9
    assert (tab.said, len(tab.requests)) == ([], 1)


def test_search_shows_text(book: Any, fixbook: Any, tab: Any, tmp_path: Path) -> None:
    """A title that looks like HTML is text among the findings of the printed book."""
    book.add("amp-hum", title="'Hum <img src=x onerror=alert(1)> </script>'")
    fixbook("book", "print", str(tmp_path / "pages"))
    page = tab.open(tmp_path / "pages" / "index.html")
    page.fill("#words", "hum")
    assert page.text_content("#hits a") == "Hum <img src=x onerror=alert(1)> </script>"
    assert tab.said == []
