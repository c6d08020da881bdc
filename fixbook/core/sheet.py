"""Blocks: what a sheet is made of, before anyone decides how it looks.

Text in a block is untrusted; `fixbook.render` cleans it on the way to a terminal or a page.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

INFO, GOOD, DOUBT, BAD = "info", "good", "doubt", "bad"
"""The weights a line can have; each is also said in words, never by colour alone."""


class CautionBlock(NamedTuple):
    """What can hurt, shown before anything is to be done."""

    hazard: str
    short: str
    full: str = ""


class TextBlock(NamedTuple):
    """Paragraphs under a heading; `markdown` says whether the text is CommonMark."""

    heading: str
    text: str
    markdown: bool = False
    weight: str = INFO


class TableBlock(NamedTuple):
    """Rows under column names; every cell is text."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    ticked: bool = False
    """True where a page has a box to tick before each row, as in a list of parts."""
    cut: tuple[str, ...] = ()
    """Columns whose texts a terminal may end with … where a line is short: a row stays one line.
    For what stands whole elsewhere, and never for what is to be typed."""


class StepsBlock(NamedTuple):
    """Things to do, in order."""

    heading: str
    steps: tuple[str, ...]
    note: str = ""
    first: int = 1
    """The number of the first."""


class PictureBlock(NamedTuple):
    """A drawing of the book: its file, and what it shows in words."""

    heading: str
    file: str
    alternative: str


class ReadingBlock(NamedTuple):
    """A reading held against its window: the verdict in a word, and why."""

    heading: str
    verdict: str
    word: str
    why: str
    weight: str = INFO


class PanelBlock(NamedTuple):
    """Named values side by side, such as the figures of past jobs."""

    heading: str
    values: Mapping[str, str] = {}
    note: str = ""


class ScaleBlock(NamedTuple):
    """A quantity on its scale: its windows, and readings or settings held against them.

    A terminal shows it as text, a page as a drawing. Numbers are in the unit of `quantity`.
    """

    heading: str
    quantity: str
    """A name of `KINDS`, such as `ohms`."""
    windows: tuple[tuple[float | None, float | None, str], ...]
    """Lowest and highest value, None for no limit, and the window in words."""
    readings: tuple[tuple[str, float, float], ...] = ()
    """Each with its name, its value, and the guard band by which a limit is moved for it."""
    steps: tuple[float, ...] = ()
    """Settings to try, in order."""
    at: str = ""
    """Between which points, and under which conditions."""
    notes: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    """What is written in by hand on a page: `before`, `after`."""


class CurveBlock(NamedTuple):
    """Curves over one axis, such as an impedance against frequency."""

    heading: str
    x: tuple[str, str]
    """What the axis shows, and its quantity: a name of `KINDS`."""
    y: tuple[str, str]
    curves: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    """Each with its name and its points, which rise in x."""
    marks: tuple[tuple[str, float, float], ...] = ()
    """Points that are named."""
    logarithmic: bool = False
    """True where both axes are, and every number is above 0."""
    note: str = ""


class BarsBlock(NamedTuple):
    """Shares of one, each with its name: likelihoods, or rates with their intervals."""

    heading: str
    bars: tuple[tuple[str, float, float | None, float | None], ...]
    """Name, share, and the ends of its interval, None where it has none; all from 0 to 1."""
    note: str = ""
    told: bool = False
    """True where a block beside it says the same in words: a terminal then leaves it out."""


Block = (
    CautionBlock
    | TextBlock
    | TableBlock
    | StepsBlock
    | PictureBlock
    | ReadingBlock
    | PanelBlock
    | ScaleBlock
    | CurveBlock
    | BarsBlock
)

BLOCKS = (
    CautionBlock,
    TextBlock,
    TableBlock,
    StepsBlock,
    PictureBlock,
    ReadingBlock,
    PanelBlock,
    ScaleBlock,
    CurveBlock,
    BarsBlock,
)


def block_to_json(block: Block) -> dict[str, object]:
    """Give a block as plain values: `{"kind": "caution", …}`."""
    kind = type(block).__name__.removesuffix("Block").lower()
    return {"kind": kind, **{name: plain(value) for name, value in block._asdict().items()}}


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
    """Turn records, tuples and mappings into what JSON can hold."""
    names = getattr(value, "_fields", None) or getattr(value, "__dataclass_fields__", None)
    if names and not isinstance(value, type):
        return {name: plain(getattr(value, name)) for name in names}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [plain(one) for one in value]
    return value
