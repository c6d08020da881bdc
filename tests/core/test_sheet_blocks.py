"""Blocks as plain values."""

from __future__ import annotations

import json

import pytest

from fixbook.core.entry import Window
from fixbook.core.sheet import (
    BLOCKS,
    BarsBlock,
    Block,
    CautionBlock,
    CurveBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    ScaleBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
    block_to_json,
    plain,
)

ONE_OF_EACH: list[Block] = [
    CautionBlock("mains", "Mains can kill.", "Unplug it."),
    TextBlock("How it shows", "It **hums**.", markdown=True),
    TableBlock("Targets", ("name", "window"), (("ripple", "0 .. 2 V"),), note="typical"),
    StepsBlock("Opening", ("take off the cover",)),
    PictureBlock("Test points", "pictures/points.svg", "where to probe"),
    ReadingBlock("ripple", "fail", "high", "2.4 V is above 2 V", "bad"),
    PanelBlock("Past jobs", {"fixed": "7 of 9"}),
    ScaleBlock("ripple", "volts", ((0.0, 2.0, "0 .. 2 V"),), (("reading", 2.4, 0.0),)),
    CurveBlock("life", ("air", "celsius"), ("life", "hours"), (("life", ((40.0, 7.2e7),)),)),
    BarsBlock("chances", (("dried reservoir", 0.7, None, None),)),
]


KINDS = [
    "caution",
    "text",
    "table",
    "steps",
    "picture",
    "reading",
    "panel",
    "scale",
    "curve",
    "bars",
]


@pytest.mark.parametrize(("block", "kind"), list(zip(ONE_OF_EACH, KINDS, strict=True)), ids=KINDS)
def test_a_block_says_its_kind_first(block: Block, kind: str) -> None:
    """The first name of a block's JSON is its kind."""
    assert next(iter(block_to_json(block).items())) == ("kind", kind)


def test_every_kind_of_block_is_listed() -> None:
    """The list of block types and the examples here are the same set."""
    assert {type(block) for block in ONE_OF_EACH} == set(BLOCKS)


def test_blocks_survive_json() -> None:
    """A block's plain values are the same after a trip through JSON."""
    rows = [block_to_json(block) for block in ONE_OF_EACH]
    assert json.loads(json.dumps(rows)) == rows


def test_a_table_becomes_lists() -> None:
    """Tuples become lists, and texts stay whole."""
    assert block_to_json(ONE_OF_EACH[2]) == {
        "kind": "table",
        "heading": "Targets",
        "columns": ["name", "window"],
        "rows": [["ripple", "0 .. 2 V"]],
        "note": "typical",
        "ticked": False,
        "cut": [],
    }


def test_plain_takes_values_apart_at_any_depth() -> None:
    """Dataclasses inside tuples inside mappings all become plain."""
    value = {"windows": (Window(0.0, None, "0 .."),), 1: None}
    assert plain(value) == {
        "windows": [{"low": 0.0, "high": None, "text": "0 ..", "says": ""}],
        "1": None,
    }
