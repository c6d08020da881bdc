"""Each of 17,464 real part names finds itself, however it is written.

The names are those of the symbols in Debian's package kicad-symbols 6.0.10-1 (CC-BY-SA 4.0 with
the library's exception). They are not part of the project: set FIXBOOK_OUTSIDE to the folder that
holds `part_names`.

A value or a bare plus or minus is not a part number: names such as +3.3V keep their point, and the
minus before -BATT, which would leave the word out, is not typed. Names that differ by nothing but
signs (diode bridges by the order of + and -) may stand for each other.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from fixbook.core.query import Document, Request
from fixbook.search import Index


def outside(name: str) -> Path:
    """Give a folder of outside data, or skip."""
    root = os.environ.get("FIXBOOK_OUTSIDE")
    folder = Path(root) if root else Path(__file__).parents[3] / "shared" / "data"
    if not (folder / name).is_dir():
        pytest.skip(f"no outside data: {folder / name} is missing; set FIXBOOK_OUTSIDE")
    return folder / name


STEP = 1 if os.environ.get("FIXBOOK_TEST_ALL") else 12
"""All names are in the index; every so many are asked for, others by each test."""


@pytest.fixture(scope="module")
def names() -> list[str]:
    """Give all part names."""
    pytest.importorskip("numpy", reason="17,464 questions take a minute without arrays")
    return (outside("part_names") / "names.txt").read_text("utf-8").split("\n")[:-1]


@pytest.fixture(scope="module")
def alone(names: list[str], tmp_path_factory: pytest.TempPathFactory) -> Index:
    """Index each name alone in a title."""
    return indexed(tmp_path_factory.mktemp("names"), names, "{}")


def indexed(folder: Path, names: Sequence[str], text: str) -> Index:
    """Index each name in a text of its own."""
    index = Index(folder / "index", "1", fast=True)
    given = ((n, [Document(n, n, {"title": text.format(n)})]) for n in names)
    index.update(given, stamps={})
    return index


def missed(index: Index, names: Sequence[str], ask: Callable[[str], str]) -> list[str]:
    """Give the names that are not first, or tied with the first."""
    missing = []
    for name in names:
        found = index.ranked(Request(ask(name), limit=20))
        first = {bare(key) for key, score in found if score >= found[0][1]}
        if bare(name) not in first:
            missing.append(name)
    return missing


def bare(name: str) -> str:
    """Take the signs out of a name, save the point of a value."""
    return name if re.match(r"[-+]?\d+[.]\d", name) else re.sub(r"[-/._+]", "", name)


def as_written(name: str) -> str:
    """Ask for a name as it is; a leading minus would leave it out."""
    return name.lstrip("-")


def test_every_name_finds_itself(names: list[str], alone: Index) -> None:
    """Alone in a title, as written."""
    assert missed(alone, names[::STEP], as_written) == []


def test_every_name_finds_itself_without_its_signs(names: list[str], alone: Index) -> None:
    """Alone in a title, asked for without hyphen, slash, dot and low line."""
    others = [name for name in names if bare(name) != as_written(name)]
    assert missed(alone, others[STEP // 3 :: STEP], bare) == []


def test_every_name_finds_itself_glued_to_words(names: list[str], tmp_path: Path) -> None:
    """Inside brackets, with a hyphen, a slash and a comma around it."""
    index = indexed(tmp_path, names, "was ({}-type/gadget), now good")
    assert missed(index, names[STEP // 2 :: STEP], as_written) == []
