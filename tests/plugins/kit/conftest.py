"""A write-up that asks for capacitors, a fuse, a resistor and a relay, and a stock list."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

ENTRY = """\
---
id: {id}
kind: fault
title: Hums
unit: test-amp
section: {section}
share: common
signs:
  low-drone: always
hazards: [mains]
minutes: 30
tools: [multimeter]
supplies: [solder]
targets:
  - name: main rail
    at: across C1, idle
    reads: dc
    window: 30 .. 34 V
parts: {parts}
state: written
revised: 2026-11-25
---

## Step by step

1. Unplug it.
"""
HEADER = "what,value,volts,temperature,count,place,esr,ripple"


@dataclass(frozen=True)
class Shelf:
    """A book with write-ups, and the stock list beside it."""

    folder: Path
    run: Callable[..., object]

    def wants(self, *parts: Mapping[str, object], id: str = "amp-hum", section="reservoir") -> None:
        """Write a write-up that asks for these parts."""
        made = [{"count": 1, "at": f"X{number}", **one} for number, one in enumerate(parts, 1)]
        path = self.folder / "entries" / "test-amp" / f"{id}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        text = ENTRY.format(id=id, parts=json.dumps(made), section=section)
        path.write_text(text, encoding="utf-8")

    def has(self, *rows: str, header: str = HEADER, name: str = "stock.csv") -> Path:
        """Write the stock list, and name it in the settings."""
        path = self.folder / name
        path.write_text("\n".join([header, *rows, ""]), encoding="utf-8")
        settings = f'name = "Test"\nstarter = false\nstock = "{name}"\n'
        (self.folder / "fixbook.toml").write_text(settings, encoding="utf-8")
        return path

    def kit(self, *words: str, id: str = "amp-hum") -> dict:
        """Give `fixbook kit --json`."""
        ran = self.run("kit", id, *words, "--json")
        assert ran.status == 0, ran.out + ran.err
        return json.loads(ran.out)

    def picks(self, *words: str) -> Sequence[Sequence[object]]:
        """Give each part's picks as (count, status, drawer)."""
        return [
            [
                (one["count"], one["status"], (one["item"] or {}).get("place", ""))
                for one in part["picks"]
            ]
            for part in self.kit(*words)["parts"]
        ]


@pytest.fixture
def shelf(book, fixbook) -> Shelf:
    """Give a book whose write-ups and stock list are still to be written."""
    return Shelf(book.folder, fixbook)


@pytest.fixture
def reservoir() -> dict[str, object]:
    """Give the part that most tests ask for."""
    return {
        "at": "C1",
        "is": "aluminium electrolytic, radial",
        "value": "4700 uF",
        "volts": "50 V",
        "temperature": "105 C",
    }
