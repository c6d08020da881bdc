"""Print every write-up of the starter book to PDF, on A4 and on Letter, and judge each page.

    python tests/printing/every_sheet.py FOLDER

Run by hand: two minutes. Counts pages, sheets with something beyond the edge of the paper, cautions that are
split over two sheets of paper, headings left alone at the foot, and images that did not draw.
Needs Chromium, playwright, and pdftotext of poppler-utils. The PDFs stay in FOLDER to be looked at.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from fixbook.app.bench import LibraryBench
from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.app.printing import print_sheet
from fixbook.core.sheet import CautionBlock
from fixbook.settings import Place

SIZES = {"A4": (794, "A4"), "letter": (816, "Letter")}
MARGINS = 106
"""CSS pixels of both margins, 14 mm each."""
WIDE = """() => [...document.body.querySelectorAll('*')].filter((one) => {
  const box = one.getBoundingClientRect(); return box.width && box.right > innerWidth + 1;
}).length"""


def main(folder: Path) -> int:
    """Print all; give 1 where anything is wrong."""
    home = Path(tempfile.mkdtemp())
    library = Library(Place(None, "nothing"), Folders(home / "c", home / "d", home / "k"))
    bench = LibraryBench(library)
    counts = dict.fromkeys(
        ("sheets", "pages", "too wide", "split cautions", "lone headings", "lost images"), 0
    )
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=shutil.which("chromium") or "", args=["--no-sandbox"]
        )
        for size, (width, _) in SIZES.items():
            (folder / size).mkdir(parents=True, exist_ok=True)
            page = browser.new_page(viewport={"width": width - MARGINS, "height": 1000})
            page.emulate_media(media="print")
            for filed in library.filed():
                html = print_sheet(library, filed, bench, paper=size)
                _print(page, html, folder / size / f"{filed.entry.id}.pdf", counts)
                short = [
                    one for one in bench.sheet(filed.entry.id) if isinstance(one, CautionBlock)
                ]
                _judge(folder / size / f"{filed.entry.id}.pdf", short, counts)
        browser.close()
    for name, count in counts.items():
        print(f"{name}: {count}")
    return 1 if any(counts[name] for name in list(counts)[2:]) else 0


def _print(page: Any, html: str, file: Path, counts: dict[str, int]) -> None:
    source = file.with_suffix(".html")
    source.write_text(html, encoding="utf-8")
    page.goto(source.as_uri())
    counts["sheets"] += 1
    counts["too wide"] += bool(page.evaluate(WIDE))
    lost = "all => all.filter((one) => !one.naturalWidth).length"
    counts["lost images"] += page.eval_on_selector_all("img", lost)
    page.pdf(path=str(file), prefer_css_page_size=True)


def _judge(file: Path, cautions: list[CautionBlock], counts: dict[str, int]) -> None:
    done = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, check=True)
    pages = [_plain(one) for one in done.stdout.decode("utf-8").split("\f")[:-1]]
    counts["pages"] += len(pages)
    for one in cautions:
        begin, end = _plain(one.short)[:40], _plain(one.full)[-40:]
        where = [number for number, text in enumerate(pages) if begin in text]
        if not any(end in pages[number] for number in where):
            counts["split cautions"] += 1
            print(f"{file}: the caution {one.hazard} is split")
    for number, text in enumerate(pages, 1):
        last = re.sub(r"\d+ of \d+$", "", text).rstrip()
        last = re.sub(
            r"[\w-]+, [\w ]+, revision \w+ of \d+ write-ups, printed [\d-]+$", "", last
        ).rstrip()
        if last.endswith(
            ("Targets", "Parts", "Opening", "Closing", "Step by step", "Links", "Signs")
        ):
            counts["lone headings"] += 1
            print(f"{file}: page {number} ends with a heading")


def _plain(text: str) -> str:
    return " ".join(text.split())


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
