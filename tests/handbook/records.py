"""The check values: one record for each, in a file for each plugin."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parent
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""The C one where it is there: every collection of the tests reads all records."""
KINDS = ("published", "library", "practice", "memory", "arithmetic")
OUTSIDE = ("published", "library")
FIELDS = {
    "calculator", "inputs", "expected", "within", "verdict", "word", "refused", "input",
    "source", "kind",
}  # fmt: skip


@dataclasses.dataclass(frozen=True)
class Record:
    """One check value."""

    file: str
    number: int
    data: Mapping[str, Any]

    @property
    def calculator(self) -> str:
        """The calculator it checks."""
        return str(self.data["calculator"])

    @property
    def id(self) -> str:
        """How a test of it is named."""
        return f"{self.file}-{self.number}-{self.calculator}"

    def texts(self) -> dict[str, list[str]]:
        """Give its inputs as typed."""
        return {
            name: [str(one) for one in value] if isinstance(value, list) else [str(value)]
            for name, value in self.data["inputs"].items()
        }


def records() -> list[Record]:
    """Read every record of every file."""
    return [
        Record(path.stem, number, data)
        for path in sorted(FOLDER.glob("*.yaml"))
        for number, data in enumerate(yaml.load(path.read_text(encoding="utf-8"), _LOADER), 1)
    ]


def allowed(expected: float, data: Mapping[str, Any]) -> float:
    """Give how far an answer may be off: as stated, or half a unit of the last digit printed."""
    if "within" in data:
        return float(data["within"])
    text = repr(expected)
    mantissa, _, exponent = text.partition("e")
    decimals = len(mantissa.partition(".")[2]) if "." in mantissa else 0
    decimals = 0 if mantissa.endswith(".0") else decimals
    return 0.5000001 * 10.0 ** (int(exponent or 0) - decimals)
