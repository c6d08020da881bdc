"""Every one of 17,464 real part names finds itself, however it is written.

The names are those of the symbols in Debian's package kicad-symbols 6.0.10-1 (CC-BY-SA 4.0 with
the library's exception). They are not part of the project: set FIXBOOK_OUTSIDE to the folder that
holds `part_names`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from fixbook.core.query import Document
from fixbook.search import Index
from fixbook.search.analysis import Analyser
from fixbook.search.expand import Expansion
from fixbook.search.manifest import read_manifest
from fixbook.search.parse import read_query
from fixbook.search.rank import PlainRanker, Plan
from fixbook.search.snapshot import Snapshot


def outside(name: str) -> Path:
    """Give a folder of outside data, or skip."""
    root = os.environ.get("FIXBOOK_OUTSIDE")
    folder = Path(root) if root else Path(__file__).parents[3] / "shared" / "data"
    if not (folder / name).is_dir():
        pytest.skip(f"no outside data: {folder / name} is missing; set FIXBOOK_OUTSIDE")
    return folder / name


@pytest.fixture(scope="module")
def names() -> list[str]:
    """Give all part names."""
    return (outside("part_names") / "names.txt").read_text("utf-8").split("\n")[:-1]


def misses(folder: Path, names: list[str], text: Callable[[str], str], ask: Callable[[str], str]) -> list[str]:
    """Index each name in a text of its own, and give those that are not first or tied."""
    index = Index(folder / "index", "1")
    index.update(((n, [Document(n, n, {"title": text(n)})]) for n in names), stamps={})
    manifest = read_manifest(folder / "index")
    assert manifest
    snapshot, analyser = Snapshot(folder / "index", manifest), Analyser()
    ranker = PlainRanker(snapshot)
    missed = []
    for name in names:
        units = Expansion(snapshot, analyser).units(read_query(ask(name), analyser), typing=False)
        ranker.rank(Plan(units, (), (), (), 5))
    return missed
