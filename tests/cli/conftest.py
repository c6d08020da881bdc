"""Write-ups of any fields, and plugins of a book, for commands to work on."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

WORDS = """\
units:
  tape-player: {name: tape player, aliases: [deck]}
signs:
  no-output:
    ask: Is there no output?
    background: {seen: 0.1}
    minutes: 1
    customer: true
    lay: [nothing comes out]
hazards:
  laser:
    short: Invisible light.
    full: Invisible light harms the eye. Local codes and licensed practice come first.
"""


@pytest.fixture
def write(book) -> Callable[..., Path]:
    """Write an entry of any fields: `write("amp-one", title="Hums", hazards=["mains"])`."""
    (book.folder / "entries" / "vocabulary" / "more.yaml").write_text(WORDS, encoding="utf-8")

    def make(id: str, *, body: str = "\n## Step by step\n\n1. Unplug it.\n", **fields) -> Path:
        front = {
            "id": id,
            "kind": "fault",
            "title": f"Fault {id}",
            "unit": "test-amp",
            "section": "output",
            "share": "common",
            "signs": {"low-drone": "always"},
            "state": "written",
            "revised": "2026-11-25",
            **fields,
        }
        pairs = [pair for pair in front.items() if pair[1] is not None]
        lines = "".join(f"{name}: {json.dumps(value)}\n" for name, value in pairs)
        path = book.folder / "entries" / str(front["unit"]) / f"{id}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"---\n{lines}---\n{body}", encoding="utf-8")
        return path

    return make


@pytest.fixture
def shelf(write, book):
    """Give a book with four write-ups that differ in every facet."""
    write(
        "amp-hum",
        title="Hums with the volume at zero",
        section="supply",
        hazards=["mains"],
        skill="through-hole",
        signs={"low-drone": "always"},
        models=["TA 100 rev B"],
    )
    write(
        "amp-silent", title="One side is silent", signs={"no-output": "usually"}, state="withdrawn"
    )
    write(
        "supply-low",
        title="The -15V rail is low",
        unit="test-supply",
        section="regulator",
        hazards=["mains"],
        skill="no-soldering",
        signs={"low-drone": "rarely"},
    )
    write(
        "deck-blind",
        title="The pickup does not see the disc",
        unit="tape-player",
        section="servo",
        hazards=["mains", "laser"],
        skill="surface-mount",
        state="bench-proven",
        signs={"no-output": "always"},
        models=["DP-7"],
    )
    write(
        "relay-cleaning",
        title="Clean a relay contact",
        kind="technique",
        unit="technique",
        section="",
        share=None,
        signs=None,
    )
    return book
