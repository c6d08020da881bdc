"""A file's front matter as it was typed: texts, lists and mappings, each with its place.

Nothing is guessed here: `no`, `1:30`, `017` and `1.10` stay the texts they were. What a text
means is said by the schema that reads it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple


class Text(NamedTuple):
    """A scalar, as typed; an empty value is the empty text."""

    text: str
    line: int
    column: int
    plain: bool = True
    """False where it stood in quotes or in a block, so that `""` differs from nothing."""


class Items(NamedTuple):
    """A list."""

    items: Sequence[Raw]
    line: int
    column: int


class Fields(NamedTuple):
    """A mapping; keys are unique."""

    fields: Mapping[str, Raw]
    keys: Mapping[str, Text]
    """Each key with its place."""
    line: int
    column: int


Raw = Text | Items | Fields


def describe(raw: Raw) -> str:
    """Name what was found, for a message: `'abc'`, `a list`, `a mapping`, `nothing`."""
    if isinstance(raw, Items):
        return "a list"
    if isinstance(raw, Fields):
        return "a mapping"
    return repr(raw.text) if raw.text or not raw.plain else "nothing"
