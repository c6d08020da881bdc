"""Blocks: what a sheet is made of, before anyone decides how it looks.

Text in a block is untrusted; `fixbook.render` cleans it on the way to a terminal or a page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

INFO, GOOD, DOUBT, BAD = "info", "good", "doubt", "bad"
"""The weights a line can have; each is also said in words, never by colour alone."""


@dataclass(frozen=True, slots=True)
class CautionBlock:
    """What can hurt, shown before anything is to be done."""

    hazard: str
    short: str
    full: str = ""


@dataclass(frozen=True, slots=True)
class TextBlock:
    """Paragraphs under a heading; `markdown` says whether the text is CommonMark."""

    heading: str
    text: str
    markdown: bool = False
    weight: str = INFO


@dataclass(frozen=True, slots=True)
class TableBlock:
    """Rows under column names; every cell is text."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class StepsBlock:
    """Things to do, in order."""

    heading: str
    steps: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class PictureBlock:
    """A drawing of the book: its file, and what it shows in words."""

    heading: str
    file: str
    alternative: str


@dataclass(frozen=True, slots=True)
class ReadingBlock:
    """A reading held against its window: the verdict in a word, and why."""

    heading: str
    verdict: str
    word: str
    why: str
    weight: str = INFO


@dataclass(frozen=True, slots=True)
class PanelBlock:
    """Named values side by side, such as the figures of past jobs."""

    heading: str
    values: Mapping[str, str] = field(default_factory=dict)
    note: str = ""


Block = (
    CautionBlock | TextBlock | TableBlock | StepsBlock | PictureBlock | ReadingBlock | PanelBlock
)

BLOCKS = (
    CautionBlock,
    TextBlock,
    TableBlock,
    StepsBlock,
    PictureBlock,
    ReadingBlock,
    PanelBlock,
)


def block_to_json(block: Block) -> dict[str, object]:
    """Give a block as plain values: `{"kind": "caution", …}`."""
    kind = type(block).__name__.removesuffix("Block").lower()
    return {"kind": kind, **{one.name: plain(getattr(block, one.name)) for one in fields(block)}}


def block_from_json(data: Mapping[str, object]) -> Block:
    """Give the block that `block_to_json` wrote; ValueError where it is none."""
    kinds = {kind.__name__.removesuffix("Block").lower(): kind for kind in BLOCKS}
    try:
        values = {key: _whole(value) for key, value in data.items() if key != "kind"}
        return kinds[str(data["kind"])](**values)
    except (KeyError, TypeError) as error:
        raise ValueError("not a block") from error


def _whole(value: object) -> Any:
    return tuple(_whole(one) for one in value) if isinstance(value, list) else value


def plain(value: object) -> object:
    """Turn dataclasses, tuples and mappings into what JSON can hold."""
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(one) for one in value]
    return value
