"""What every test has: an empty home, no settings from outside, and a fixed width."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

# The same examples in every run, so that a change is judged by itself and no clock decides;
# FIXBOOK_TEST_ALL=1 tries others, and more of them.
settings.register_profile("short", max_examples=50, deadline=None, derandomize=True, database=None)
settings.register_profile("all", max_examples=500, deadline=None)
settings.load_profile("all" if os.environ.get("FIXBOOK_TEST_ALL") else "short")


@pytest.fixture(scope="session")
def new_home(tmp_path_factory: pytest.TempPathFactory) -> Callable[[], Path]:
    """Make an empty home; thousands of them in pytest's own folder would each cost a look at all
    that are there."""
    homes, numbers = tmp_path_factory.mktemp("homes"), count()

    def make() -> Path:
        home = homes / str(next(numbers))
        home.mkdir()
        return home

    return make


@pytest.fixture(scope="session")
def plugin_list(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the cache's list of installed plugins: a scan of all packages, for thousands of homes."""
    from fixbook.app.pluginlist import FILE, plugin_files

    folder = tmp_path_factory.mktemp("plugins")
    plugin_files(folder)
    return folder / FILE


@pytest.fixture(autouse=True)
def isolation(
    new_home: Callable[[], Path], plugin_list: Path, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """Give each test folders of its own and nothing of the user's settings."""
    home = new_home()
    (home / "cache" / "fixbook").mkdir(parents=True)
    shutil.copy(plugin_list, home / "cache" / "fixbook")
    for name in [one for one in os.environ if one.startswith("FIXBOOK_")]:
        if name != "FIXBOOK_OUTSIDE":
            monkeypatch.delenv(name)
    # A command that is started as a process finds its modules compiled, as an installed one does.
    monkeypatch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
    monkeypatch.setenv("HOME", str(home))
    for name in ("CACHE", "DATA", "CONFIG", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.delenv("EDITOR", raising=False)
    monkeypatch.chdir(home)
    return home


@pytest.fixture(scope="session")
def starter_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a cache with the starter book's index, to be copied: it takes seconds to make."""
    from fixbook.app.folders import Folders
    from fixbook.app.indexing import BookIndex
    from fixbook.app.library import Library
    from fixbook.settings import Place

    home = tmp_path_factory.mktemp("starter")
    folders = Folders(home / "cache", home / "data", home / "settings")
    BookIndex(Library(Place(None, "nothing"), folders)).refresh()
    return home / "cache"


@pytest.fixture
def indexed_starter(starter_cache: Path, isolation: Path) -> None:
    """Let the test's home have searched the starter book before."""
    shutil.copytree(starter_cache, isolation / "cache" / "fixbook", dirs_exist_ok=True)


@dataclass(frozen=True)
class Ran:
    """What a command did."""

    status: int
    out: str
    err: str


@pytest.fixture
def fixbook(capsys: pytest.CaptureFixture[str]) -> Iterator[Callable[..., Ran]]:
    """Run the command line in this process: `fixbook("find", "hum")`."""
    from fixbook.cli.main import main

    def run(*words: str) -> Ran:
        capsys.readouterr()
        status = main(list(words))
        out, err = capsys.readouterr()
        return Ran(status, out, err)

    yield run


SMALL_ENTRY = """\
---
id: {id}
kind: fault
title: {title}
unit: test-amp
section: output
share: common
signs:
  low-drone: always
hazards: [mains]
skill: through-hole
minutes: 30
tools: [multimeter]
supplies: [solder]
targets:
  - name: contact resistance
    at: across the closed contact, power off
    reads: ohms
    window: 0 .. 100 mohm
parts:
  - at: RL1
    is: relay
    value: 24 V coil
    count: 1
opening:
  - do: unplug it, take off the cover
    fasteners: 6 screws
  - do: swing the board out
    fasteners: 2 screws, short
see: []
state: written
revised: 2026-11-25
---
{body}
"""

SMALL_BODY = """
## How it shows

One side drops out until the volume is turned up.

## Step by step

1. Unplug it.
2. Measure the contact.

## Write down

The reading before and after."""

SMALL_WORDS = """\
units:
  test-amp: {name: test amplifier, aliases: [amp], contains: [test-supply]}
  test-supply: {name: test supply}
signs:
  low-drone:
    ask: Does it drone?
    background: {seen: 0.1}
    minutes: 1
    customer: true
    lay: [low note all the time]
hazards:
  mains:
    short: |
      Mains can kill.
      Unplug and prove it dead.
    full: Mains can kill. Local codes and licensed practice come first.
synonyms:
  - [relay, contactor]
"""


@dataclass(frozen=True)
class Book:
    """A made-up book in a folder of its own, without the starter book beside it."""

    folder: Path

    def add(self, id: str, *, title: str = "", body: str = SMALL_BODY, text: str = "") -> Path:
        """Write a small write-up; `text` is the whole file where given."""
        path = self.folder / "entries" / "test-amp" / f"{id}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        made = SMALL_ENTRY.format(id=id, title=title or f"Fault {id}", body=body)
        path.write_text(text or made, encoding="utf-8")
        return path


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Book:
    """Make an empty book with a small vocabulary, and open it for every command."""
    folder = tmp_path / "book"
    words = folder / "entries" / "vocabulary"
    words.mkdir(parents=True)
    (words / "words.yaml").write_text(SMALL_WORDS, encoding="utf-8")
    (folder / "fixbook.toml").write_text('name = "Test"\nstarter = false\n', encoding="utf-8")
    monkeypatch.setenv("FIXBOOK_BOOK", str(folder))
    return Book(folder)


@pytest.fixture(scope="session")
def outside() -> Path:
    """The folder of things that others wrote; tests that need it skip where it is absent."""
    named = os.environ.get("FIXBOOK_OUTSIDE")
    folder = Path(named) if named else Path(__file__).parents[2] / "shared" / "data"
    if not folder.is_dir():
        pytest.skip(f"the outside data are not at {folder}; set FIXBOOK_OUTSIDE to their folder")
    return folder
