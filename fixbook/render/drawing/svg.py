"""Drawings as SVG, by matplotlib where it is installed (`pip install fixbook[drawing]`).

The same data always give the same file: no date, no random names. Letters stay text, in the
reader's own font; a text goes in as the sign of its place, and is put there, escaped, at the end.
So a scale of the same shape is drawn once, whatever is written on it.
"""

from __future__ import annotations

import base64
import contextlib
import io
import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from html import escape
from typing import TYPE_CHECKING, Any

from fixbook.core.quantity import show
from fixbook.core.sheet import BarsBlock, Block, CurveBlock, ScaleBlock
from fixbook.core.units import find_unit
from fixbook.render.clean import clean_line
from fixbook.render.drawing.geometry import stretch
from fixbook.render.drawing.words import kind_of, share_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, SOFT, FILL, RED = "#111111", "#5a5a5a", "#cfe3d2", "#9c0c0c"
LINES = (("#003c9e", "-"), ("#9c4a00", "--"), ("#0b5c1e", "-."), ("#6a1b78", ":"))
WIDE = 3.7
"""Inches, at 72 units each."""
LONGEST = 40
"""Letters of a name in a drawing; the whole of it stands beside the drawing."""
NAME = 28
"""The same for a name that stands beside its figures."""
_PLACE = re.compile(r"qx(\d+)xq")


@contextlib.contextmanager
def _same_everywhere() -> Iterator[None]:
    """Draw with the library's own settings, whatever the user's file of settings says."""
    import matplotlib

    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update({"svg.fonttype": "none", "svg.hashsalt": "fixbook"})
        yield


def can_draw() -> bool:
    """Say whether the library that draws is installed."""
    from importlib.util import find_spec

    return find_spec("matplotlib") is not None


def drawing_address(block: Block) -> str:
    """Give a drawing as a `data:` address; empty where there is nothing to draw or to draw with."""
    try:
        drawing = drawing_svg(block) if can_draw() else ""
    except ImportError:  # it is there and cannot be used: a part of it is missing
        return ""
    if not drawing:
        return ""
    return "data:image/svg+xml;base64," + base64.b64encode(drawing.encode()).decode()


def drawing_svg(block: Block) -> str:
    """Draw a scale, curves or bars; empty for another block, or one without numbers."""
    if isinstance(block, ScaleBlock):
        return _scale(block)
    if isinstance(block, CurveBlock) and any(points for _, points in block.curves):
        return _curves(block)
    return _bars(block) if isinstance(block, BarsBlock) and block.bars else ""


def _scale(block: ScaleBlock) -> str:
    shown = stretch(block)
    if shown is None:
        return ""
    kind = kind_of(block.quantity)
    windows = [(shown.place(a, end=0.0), shown.place(b, end=1.0)) for a, b, _ in block.windows]
    ends = sorted({end for a, b, _ in block.windows for end in (a, b) if end is not None})
    readings = [(shown.place(v, end=0.0), v, band) for _, v, band in block.readings]
    bands = tuple(
        (shown.place(end - band, end=0.0), shown.place(end + band, end=1.0))
        for _, _, band in block.readings[:1]
        for end in ends
        if band
    )
    steps = tuple(round(shown.place(step, end=0.0), 4) for step in block.steps)
    texts = [show(end, kind) for end in ends]
    texts += [show(value, kind, digits=6) for _, value, _ in readings]
    made = _scale_shape(
        tuple((round(a, 4), round(b, 4)) for a, b in windows),
        tuple((round(a, 4), round(b, 4)) for a, b in bands),
        tuple(round(shown.place(end, end=0.0), 4) for end in ends),
        tuple(round(place, 4) for place, _, _ in readings),
        steps,
    )
    return _written(made, texts)


@lru_cache(maxsize=4096)
@_same_everywhere()
def _scale_shape(
    windows: tuple[tuple[float, float], ...],
    bands: tuple[tuple[float, float], ...],
    ends: tuple[float, ...],
    readings: tuple[float, ...],
    steps: tuple[float, ...],
) -> str:
    """Draw the shape of a scale; every place is from 0 to 1, every text the sign of its place."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Rectangle

    row, above, below = 13.0, 22.0 if readings or steps else 6.0, 18.0
    high = above + row * max(1, len(windows)) + below
    figure = _figure(WIDE, high / 72)

    def x(place: float) -> float:
        return 0.03 + 0.94 * place

    for number, (begin, end) in enumerate(windows):
        base = (below + row * (len(windows) - 1 - number)) / high
        across = (x(0), base), x(1) - x(0), row / high
        figure.add_artist(Rectangle(*across, facecolor="white", edgecolor=SOFT, linewidth=0.8))
        inside = (x(begin), base), x(end) - x(begin), row / high
        figure.add_artist(Rectangle(*inside, facecolor=FILL, edgecolor=INK, linewidth=1))
        for low, top in bands:
            guard = (x(low), base), x(top) - x(low), row / high
            figure.add_artist(
                Rectangle(*guard, facecolor="none", edgecolor=SOFT, hatch="////", linewidth=0.5)
            )
    last = -1.0
    for number, place in enumerate(ends):
        if place - last > 0.22:  # two that would touch: the words beside the drawing have both
            _text(figure, min(0.91, max(0.09, x(place))), 3 / high, number)
            last = place
    floor, top = below / high, (high - above) / high
    for step in steps:
        figure.add_artist(
            Line2D([x(step)], [top + 5 / high], marker="v", markersize=6, color=LINES[0][0])
        )
    for number, here in enumerate(readings):
        ends_at = [floor - 2 / high, top + 7 / high]
        figure.add_artist(Line2D([x(here)] * 2, ends_at, color=RED, linewidth=2))
        _text(figure, min(0.84, max(0.16, x(here))), top + 10 / high, len(ends) + number, RED)
    return _svg(figure)


@_same_everywhere()
def _curves(block: CurveBlock) -> str:
    figure = _figure(WIDE * 1.15, 2.8)
    axes = figure.add_axes((0.19, 0.17, 0.77, 0.77))
    texts: list[str] = []
    wide, tall = _factor(block.x[1]), _factor(block.y[1])
    for number, (name, points) in enumerate(block.curves):
        colour, dashes = LINES[number % len(LINES)]
        along = [one / wide for one, _ in points]
        up = [one / tall for _, one in points]
        axes.plot(along, up, dashes, color=colour, label=_place(texts, name), linewidth=1.8)
    for name, x, y in block.marks:
        axes.plot([x / wide], [y / tall], "o", color=RED, markersize=5)
        axes.annotate(
            _place(texts, name), (x / wide, y / tall), textcoords="offset points", xytext=(6, 6),
            fontsize=8, color=RED,
        )  # fmt: skip
    if block.logarithmic:
        axes.set_xscale("log")
        axes.set_yscale("log")
    _label(axes, block, texts)
    if len(block.curves) > 1:
        axes.legend(fontsize=8, frameon=False)
    return _written(_svg(figure), texts)


def _factor(kind_name: str) -> float:
    """Give how many base units the unit of an axis has, so that its steps are round: hours."""
    kind = kind_of(kind_name)
    unit = find_unit(kind.word, kind.shown)
    return unit.factor if unit else 1.0


def _label(axes: Axes, block: CurveBlock, texts: list[str]) -> None:
    """Write the numbers of both axes as a bench writes them."""
    for axis, (name, kind_name) in ((axes.xaxis, block.x), (axes.yaxis, block.y)):
        kind = kind_of(kind_name)

        def write(value: float, _: object = None, kind: Any = kind) -> str:
            return _place(texts, show(value * _factor(kind.name), kind, digits=3))

        axis.set_major_formatter(write)
        axis.set_label_text(_place(texts, name), fontsize=9)
    axes.tick_params(labelsize=8)
    if not block.logarithmic:
        axes.locator_params(axis="x", nbins=5)
    axes.grid(True, color="#d5d5d5", linewidth=0.6)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


@_same_everywhere()
def _bars(block: BarsBlock) -> str:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Rectangle

    row = 30.0
    high = row * len(block.bars) + 4
    figure = _figure(WIDE, high / 72)
    texts: list[str] = []
    for number, (name, share, low, end) in enumerate(block.bars):
        base = (high - row * (number + 1)) / high
        said = share_words(share, low, end)
        short = clean_line(name)
        most = LONGEST if low is None else NAME  # an interval takes its place beside the name
        short = short if len(short) <= most else f"{short[: most - 1]}\u2026"
        _text(figure, 0.02, base + 14 / high, _at(texts, short), INK, "left")
        _text(figure, 0.98, base + 14 / high, _at(texts, said), INK, "right")
        whole = (0.02, base + 3 / high), 0.96, 9 / high
        figure.add_artist(Rectangle(*whole, facecolor="white", edgecolor=SOFT, linewidth=0.6))
        filled = (0.02, base + 3 / high), 0.96 * share, 9 / high
        figure.add_artist(Rectangle(*filled, facecolor=FILL, edgecolor=INK, linewidth=0.8))
        if low is not None and end is not None:
            middle = [base + 7.5 / high] * 2
            ends = [0.02 + 0.96 * low, 0.02 + 0.96 * end]
            figure.add_artist(
                Line2D(ends, middle, color=INK, linewidth=1.6, marker="|", markersize=7)
            )
    return _written(_svg(figure), texts)


def _figure(width: float, height: float) -> Figure:
    from matplotlib.figure import Figure

    return Figure(figsize=(width, height))


def _text(
    figure: Figure, x: float, y: float, at: int, colour: str = INK, side: str = "center"
) -> None:
    figure.text(x, y, f"qx{at}xq", ha=side, va="bottom", fontsize=9, color=colour)


def _at(texts: list[str], text: str) -> int:
    texts.append(text)
    return len(texts) - 1


def _place(texts: list[str], text: str) -> str:
    return f"qx{_at(texts, text)}xq"


def _svg(figure: Figure) -> str:
    written = io.StringIO()
    figure.savefig(written, format="svg", metadata={"Date": None, "Creator": None})
    text = written.getvalue()
    text = re.sub(r"<\?xml.*?<svg ", "<svg ", text, count=1, flags=re.DOTALL)
    text = re.sub(r"\s*<metadata>.*?</metadata>", "", text, count=1, flags=re.DOTALL)
    return re.sub(r"font-family: [^;\"]*", "font-family: sans-serif", text)


def _written(drawing: str, texts: Sequence[str]) -> str:
    """Put texts in their places, escaped; a long one is cut, since it stands beside as well."""

    def text_of(found: re.Match[str]) -> str:
        text = clean_line(texts[int(found[1])])
        return escape(text if len(text) <= LONGEST else text[: LONGEST - 1] + "\u2026")

    return _PLACE.sub(text_of, drawing)
