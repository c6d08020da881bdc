"""A small book on the screen, played without a terminal or shown on one."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from player import Player
from terminal import Terminal

from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.settings import Place

LINKED = """
## How it shows

One side drops out until the volume is turned up.

## Step by step

1. Unplug it, and prove it dead.
2. Measure the contact as in [the technique](technique:amp-two).
3. Work out the [limit](calc:divider?supply=12V&upper=10k).

When it drops out again, begin anew."""

PLAIN = """
## How it shows

It shows all the time.

## Step by step

1. Unplug it."""


@pytest.fixture
def shelf(book):
    """Give a book with three write-ups, one of which links to the second."""
    book.add("amp-one", title="One side drops out", body=LINKED)
    book.add("amp-two", title="Hums at switch-on", body=PLAIN)
    book.add("amp-three", title="Crackles when tapped", body=PLAIN)
    return book


@pytest.fixture
def library(shelf) -> Library:
    """Open that book."""
    return Library(Place(shelf.folder, "--book"), user_folders())


@pytest.fixture
def player(library) -> Player:
    """Play that book's screen without a terminal."""
    return Player(library)


@pytest.fixture
def terminal(shelf) -> Iterator[Callable[..., Terminal]]:
    """Show that book's screen on a terminal: `terminal(80, 24)`."""
    with ExitStack() as stack:

        def show(columns: int = 80, rows: int = 24, **environment: str) -> Terminal:
            made = Terminal(columns, rows, environment={**os.environ, **environment})
            return stack.enter_context(made)

        yield show
