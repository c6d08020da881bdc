"""Drawings: as text on a terminal, as SVG on a page, with the same facts in both."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from fixbook.core.sheet import BarsBlock, CurveBlock, ScaleBlock, block_from_json, block_to_json
from fixbook.render.drawing.svg import drawing_svg
from fixbook.render.drawing.text import drawing_lines
from fixbook.render.drawing.words import facts
from fixbook.render.lines import text_of, width_of

TRIMMER = ScaleBlock(
    "trimmer",
    "ohms",
    ((450.0, 600.0, "450 to 600 ohm"),),
    (("present", 640.0, 5.0),),
    (600.0, 560.0),
)
OPEN_END = ScaleBlock("leak", "ohms", ((1e6, None, "at least 1 Mohm"),), (("reading", 2e6, 0.0),))
LIFE = CurveBlock(
    "life", ("air", "celsius"), ("life", "hours"),
    (("life", ((40.0, 7.2e7), (70.0, 7.2e6), (105.0, 7.2e5))),), (("here", 70.0, 7.2e6),),
)  # fmt: skip
IMPEDANCE = CurveBlock(
    "impedance", ("frequency", "hertz"), ("impedance", "ohms"),
    (("original", ((10.0, 1e3), (1e6, 0.1))), ("candidate", ((10.0, 500.0), (1e6, 0.05)))),
    logarithmic=True,
)  # fmt: skip
RATES = BarsBlock("rates", (("fix A", 0.8, 0.49, 0.94), ("not in this book", 0.0004, None, None)))
EVERY = [TRIMMER, OPEN_END, LIFE, IMPEDANCE, RATES]


@pytest.mark.parametrize("block", EVERY, ids=lambda one: one.heading)
def test_well_formed(block: ScaleBlock | CurveBlock | BarsBlock) -> None:
    """A drawing is an SVG that a parser reads, with no script and no address in it."""
    pytest.importorskip("matplotlib")
    drawn = drawing_svg(block)
    tags = {one.tag.rsplit("}", 1)[-1] for one in ElementTree.fromstring(drawn).iter()}
    assert "path" in tags and not tags & {"script", "image", "foreignObject", "a"}
    assert not re.search(r'href="(?!#)', drawn)


@pytest.mark.parametrize("block", EVERY, ids=lambda one: one.heading)
def test_same_every_time(block: ScaleBlock | CurveBlock | BarsBlock) -> None:
    """The same data give the same drawing, byte by byte, in another process too."""
    pytest.importorskip("matplotlib")
    from fixbook.render.drawing import svg

    first = drawing_svg(block)
    svg._scale_shape.cache_clear()
    assert drawing_svg(block) == first and not re.search(r"<dc:date>|20\d\d-\d\d-\d\d", first)


@pytest.mark.parametrize("block", EVERY, ids=lambda one: one.heading)
@pytest.mark.parametrize("width", [40, 80])
def test_fits_a_terminal(block: ScaleBlock | CurveBlock | BarsBlock, width: int) -> None:
    """As text a drawing is never wider than the terminal."""
    assert max(width_of(text_of(line)) for line in drawing_lines(block, width)) <= width


@pytest.mark.parametrize("block", EVERY, ids=lambda one: one.heading)
def test_kept_as_json(block: ScaleBlock | CurveBlock | BarsBlock) -> None:
    """A drawing's block is the same after it was written as JSON and read."""
    import json

    assert block_from_json(json.loads(json.dumps(block_to_json(block)))) == block


def test_scale_in_words() -> None:
    """A scale tells its window, the reading with its guard band, and the settings."""
    assert facts(TRIMMER) == [
        "window: 450 to 600 ohm",
        "present: 640 ohm, guard band 5 ohm",
        "set: 600 ohm, then 560 ohm",
    ]


def test_reading_lies_where_it_should() -> None:
    """On the terminal a reading above the window stands to the right of its bar."""
    marks, window = (text_of(line) for line in drawing_lines(TRIMMER, 80)[3:5])
    assert marks.rindex("\u25bc") > window.rindex("\u2588")


def test_bar_shows_the_interval() -> None:
    """A bar is full up to the low end of its interval and half on to the high end."""
    line = text_of(drawing_lines(RATES, 80)[0])
    assert (line.count("\u2588"), line.count("\u2592")) == (10, 9)
    assert line.endswith("80 % (49 % to 94 %)")


def test_curves_side_by_side() -> None:
    """Two curves are one table: the frequency, and what each part is there."""
    rows = [text_of(line).split() for line in drawing_lines(IMPEDANCE, 80)]
    assert rows[1:] == [
        ["10", "Hz", "1", "kohm", "500", "ohm"],
        ["1", "MHz", "100", "mohm", "50", "mohm"],
    ]


def test_names_are_escaped() -> None:
    """A name in a drawing is text, whatever stands in it."""
    pytest.importorskip("matplotlib")
    drawn = drawing_svg(BarsBlock("", (("</text><script>alert(1)</script>$x$", 0.5, None, None),)))
    assert "&lt;/text&gt;&lt;script&gt;" in drawn and "<script" not in drawn


@pytest.mark.parametrize("value", [0.0, 1e-300, 1e300, -5.0])
def test_odd_numbers(value: float) -> None:
    """A scale with one number, however odd, is drawn or left out, and told in either case."""
    pytest.importorskip("matplotlib")
    block = ScaleBlock("odd", "volts", ((value, value, "so"),), (("reading", value, 0.0),))
    drawn = drawing_svg(block)
    assert (not drawn or drawn.startswith("<svg ")) and facts(block)[0] == "window: so"


def test_nothing_to_draw() -> None:
    """Without a number there is no drawing, and no line that says nothing."""
    assert drawing_svg(ScaleBlock("none", "ohms", ())) == ""
