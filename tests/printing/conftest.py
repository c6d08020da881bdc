"""A real browser for all tests of pages, one for each module, and data that others published."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

PLACES = [
    *([Path(os.environ["FIXBOOK_NPM"])] if os.environ.get("FIXBOOK_NPM") else []),
    Path.home() / ".cache" / "fixbook-test-npm" / "node_modules",
    Path("/tmp/fixbook-npm/node_modules"),
]
"""Looked up while the tests are collected: later each test has a home of its own."""
CHROMIUM = next(
    (one for name in ("chromium", "chromium-browser") if (one := shutil.which(name))), ""
)
PHONE, DESK = 360, 1280


@pytest.fixture(scope="session")
def npm() -> Callable[[str], Path]:
    """Give a file of an npm package by its path; the test skips where it is not installed."""

    def find(path: str) -> Path:
        found = next((place / path for place in PLACES if (place / path).is_file()), None)
        if found is None:
            package = path.split("/")[0]
            pytest.skip(f"the npm package {package} is not installed; .ci/run says how")
        return found

    return find


@pytest.fixture(scope="session", autouse=True)
def fonts_known() -> None:
    """Let the plotting library look the fonts up where the user's cache is, once."""
    with contextlib.suppress(ImportError):  # the tests of drawings skip
        import matplotlib.font_manager  # noqa: F401


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """Start a browser; its tests skip where there is none, or nothing to drive it with.

    One for each module: while it runs, no other test of this process can have an event loop.
    """
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not CHROMIUM:
        pytest.skip("no Chromium is installed, so no page is opened")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@dataclass
class Seen:
    """A page that was opened, and all that it did."""

    page: Any
    requests: list[str] = field(default_factory=list)
    """Addresses that it asked for, embedded ones left out."""
    said: list[str] = field(default_factory=list)
    """Errors and warnings of the console, errors of scripts, and dialogs."""

    def open(self, path: Path) -> Any:
        """Open a file."""
        self.page.goto(path.as_uri())
        return self.page

    def too_wide(self) -> list[str]:
        """Give every element that reaches beyond the sides of the page."""
        found: list[str] = self.page.evaluate(
            """() => [...document.body.querySelectorAll('*')].filter((one) => {
                 const box = one.getBoundingClientRect();
                 const hidden = one.closest('thead') &&
                   getComputedStyle(one.closest('thead')).position === 'absolute';
                 return !hidden && box.width && (box.right > innerWidth + 0.5 || box.left < -0.5);
               }).map((one) => one.tagName + ': ' + one.textContent.slice(0, 60))"""
        )
        return found


@pytest.fixture
def tab(chromium: Any) -> Iterator[Seen]:
    """Give an empty page that writes down what it asks for and says."""
    context = chromium.new_context(offline=True, viewport={"width": DESK, "height": 900})
    seen = Seen(context.new_page())
    page = seen.page
    page.on(
        "request",
        lambda one: None if one.url.startswith("data:") else seen.requests.append(one.url),
    )
    page.on("console", lambda one: seen.said.append(f"{one.type}: {one.text}"))
    page.on("pageerror", lambda error: seen.said.append(f"error: {error}"))
    page.on("dialog", lambda one: (seen.said.append(f"dialog: {one.message}"), one.dismiss()))
    yield seen
    context.close()
