"""A write-up with the place of everything in it: what proof rules of the program look at."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from fixbook.core.entry import Entry
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw, Text

FIELD_ORDER = (
    "id", "kind", "title", "unit", "section", "models", "share", "signs", "lay", "hazards",
    "skill", "minutes", "tools", "supplies", "targets", "parts", "opening", "also", "see", "sources",
    "aliases", "state", "replaced-by", "revised",
)  # fmt: skip
"""The order in which the fields of front matter stand, so that two people's changes merge."""
_STEPS = re.compile(r"\[(\d{1,6})\]|([^.\[\]]+)")


@dataclass(frozen=True, slots=True)
class Page:
    """One write-up as read, with its front matter as typed."""

    file: str
    """Its file as messages show it."""
    entry: Entry
    front: Fields = field(default_factory=lambda: Fields({}, {}, 1, 1))
    front_text: str = ""

    def place(self, *path: str | int) -> tuple[int, int]:
        """Give line and column of a field or item: `place("targets", 0, "at")`.

        Where a part of the path is not there, the place of what holds it.
        """
        at: Raw = self.front
        place = (self.front.line, self.front.column)
        for step in path:
            if isinstance(at, Fields) and isinstance(step, str) and step in at.fields:
                key = at.keys[step]
                place, at = (key.line, key.column), at.fields[step]
            elif isinstance(at, Items) and isinstance(step, int) and step < len(at.items):
                at = at.items[step]
                place = (at.line, at.column)
            else:
                break
        return place

    def has(self, *path: str | int) -> bool:
        """Say whether a field or item is there, even if it is empty."""
        at: Raw = self.front
        for step in path:
            if isinstance(at, Fields) and isinstance(step, str) and step in at.fields:
                at = at.fields[step]
            elif isinstance(at, Items) and isinstance(step, int) and step < len(at.items):
                at = at.items[step]
            else:
                return False
        return True

    def row(self, field: str, key: str, value: str) -> int:
        """Give the number of the row of a list whose key has a value; 0 where there is none.

        An entry leaves out the rows that it could not read, so their numbers differ.
        """
        rows = self.front.fields.get(field)
        for number, row in enumerate(rows.items if isinstance(rows, Items) else ()):
            at = row.fields.get(key) if isinstance(row, Fields) else None
            if isinstance(at, Text) and at.text.strip() == value:
                return number
        return 0

    def item(self, field: str, text: str) -> int:
        """Give the number of the item of a list of texts that is this text; 0: none is."""
        found = self.front.fields.get(field)
        for number, item in enumerate(found.items if isinstance(found, Items) else ()):
            if isinstance(item, Text) and item.text.strip() == text:
                return number
        return 0

    def path(self, field: str) -> tuple[str | int, ...]:
        """Read a field's name as messages write it: `parts[2].volts`, rows counted from 1."""
        return tuple(int(row) - 1 if row else name for row, name in _STEPS.findall(field))

    def fault(self, rule: str, problem: str, do: str, *path: str | int) -> Problem:
        """Report a fault of a field of the front matter, by its path."""
        return Problem(self.file, *self.place(*path), rule, problem, do)

    def body_fault(self, rule: str, problem: str, do: str, line: int, column: int = 1) -> Problem:
        """Report a fault of the body, by its line in the body."""
        return Problem(self.file, line + self.entry.body_line - 1, column, rule, problem, do)
