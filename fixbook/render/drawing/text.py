"""Drawings as lines of a terminal, in block characters; every one stands with its numbers."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.core.quantity import show
from fixbook.core.sheet import BarsBlock, CurveBlock, ScaleBlock
from fixbook.render.clean import clean_line
from fixbook.render.drawing.geometry import Stretch, stretch
from fixbook.render.drawing.words import facts, kind_of, share_words, told_points
from fixbook.render.lines import PLAIN, QUIET, STRONG, Line, hanging, paragraphs, width_of, wrap
from fixbook.render.table import table_lines

FULL, HALF, EMPTY, MARK, EDGE = "\u2588", "\u2592", "\u2591", "\u25bc", "\u2500"
"""A bar, the uncertain part of it, a window, a reading, and the rest of a scale."""
BAR = 20
"""Columns of a bar that stands for 1."""
SCALE = 60
"""Columns of the widest scale."""

Drawing = ScaleBlock | CurveBlock | BarsBlock


def drawing_lines(block: Drawing, width: int) -> list[Line]:
    """Lay a drawing out in at most `width` columns."""
    if isinstance(block, ScaleBlock):
        return _scale(block, width)
    lines = _bars(block, width) if isinstance(block, BarsBlock) else _curves(block, width)
    return lines + (paragraphs(block.note, width, style=QUIET) if block.note else [])


def _scale(block: ScaleBlock, width: int) -> list[Line]:
    lines = [line for words in facts(block) for line in hanging("", words, width)]
    shown = stretch(block)
    room = min(SCALE, width - 2)
    if shown is None or room < BAR or not (block.readings or block.steps):
        return lines
    values = [*(value for _, value, _ in block.readings), *block.steps]
    lines.append([(STRONG, _marks(values, shown, room))])
    lines += [[(PLAIN, _window(low, high, shown, room))] for low, high, _ in block.windows]
    kind = kind_of(block.quantity)
    left, right = show(shown.low, kind, digits=3), show(shown.high, kind, digits=3)
    gap = room - width_of(left) - width_of(right)
    return [*lines, [(QUIET, left + " " * gap + right)]] if gap > 0 else lines


def _marks(values: Sequence[float], shown: Stretch, room: int) -> str:
    line = [" "] * room
    for value in values:
        line[_column(value, shown, room)] = MARK
    return "".join(line).rstrip()


def _window(low: float | None, high: float | None, shown: Stretch, room: int) -> str:
    begin = 0 if low is None else _column(low, shown, room)
    end = room - 1 if high is None else _column(high, shown, room)
    return EDGE * begin + FULL * (end - begin + 1) + EDGE * (room - 1 - end)


def _column(value: float, shown: Stretch, room: int) -> int:
    return round(shown.place(value, end=0.0) * (room - 1))


def _bars(block: BarsBlock, width: int) -> list[Line]:
    lines: list[Line] = []
    names = [clean_line(name) for name, *_ in block.bars]
    longest = max((width_of(name) for name in names), default=0)
    beside = longest + BAR + 32 <= width
    for name, (_, share, low, high) in zip(names, block.bars, strict=True):
        said = share_words(share, low, high)
        if beside:
            pad = name + " " * (longest - width_of(name))
            lines.append(
                [(PLAIN, f"{pad}  "), (STRONG, _bar(share, low, high)), (PLAIN, f"  {said}")]
            )
        else:
            lines += [[(PLAIN, line)] for line in wrap(name, width)]
            room = max(1, min(BAR, width - 3 - width_of(said)))
            bar = _bar(share, low, high, room)
            lines.append([(PLAIN, "  "), (STRONG, bar), (PLAIN, f" {said}")])
    return lines


def _bar(share: float, low: float | None, high: float | None, room: int = BAR) -> str:
    """Draw a share: full up to the low end of its interval, half on to the high end."""
    sure = round(room * min(1.0, max(0.0, share if low is None else low)))
    maybe = round(room * min(1.0, max(0.0, share if high is None else high)))
    return (FULL * sure + HALF * (maybe - sure)).ljust(room, EMPTY)


def _curves(block: CurveBlock, width: int) -> list[Line]:
    lines: list[Line] = []
    x, y = kind_of(block.x[1]), kind_of(block.y[1])
    if len(block.curves) > 1:
        return _beside(block, width)
    every = [b for _, points in block.curves for _, b in points]
    highest = max(every, default=0.0)
    for _, points in block.curves:
        lines += [[(STRONG, line)] for line in wrap(f"{block.y[0]} against {block.x[0]}", width)]
        rows = [
            (show(a, x), show(b, y), _height(b, every, highest, block))
            for a, b in told_points(points)
        ]
        first = max((len(one) for one, _, _ in rows), default=0)
        second = max((len(one) for _, one, _ in rows), default=0)
        for at, value, bar in rows:
            text = f"{at:>{first}}  {value:>{second}}  "
            lines.append([(PLAIN, text), (STRONG, bar if len(text) + BAR <= width else "")])
    for name, a, b in block.marks:
        lines += hanging(f"{name}: ", f"{show(b, y)} at {show(a, x)}", width)
    return lines


def _beside(block: CurveBlock, width: int) -> list[Line]:
    """Tell several curves in one table: where, and what each of them is there."""
    x, y = kind_of(block.x[1]), kind_of(block.y[1])
    known = [dict(points) for _, points in block.curves]
    rows = [
        (show(a, x), *(show(one[a], y) if a in one else "" for one in known))
        for a, _ in told_points(block.curves[0][1])
    ]
    names = (block.x[0], *(f"{name}: {block.y[0]}" for name, _ in block.curves))
    return table_lines(names, rows, width)


def _height(value: float, every: Sequence[float], highest: float, block: CurveBlock) -> str:
    import math

    lowest = min(every, default=0.0)
    if block.logarithmic and lowest > 0 and highest > lowest:
        share = math.log(value / lowest) / math.log(highest / lowest)
    else:
        share = value / highest if highest > 0 else 0.0
    return FULL * max(1, round(BAR * max(0.0, share)))
