"""Tables as styled lines: columns side by side where they fit, one under another where not."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.render.clean import clean_line
from fixbook.render.lines import PLAIN, QUIET, STRONG, Line, begin_of, hanging, width_of, wrap

GAP = 2
NARROW_COLUMN = 10
CUT = "\u2026"
"""Ends a text that goes on."""


def table_lines(
    columns: Sequence[str], rows: Sequence[Sequence[str]], width: int, *, cut: Sequence[str] = ()
) -> list[Line]:
    """Lay a table out; cells are broken over lines, and cut in the columns of `cut` alone."""
    cells = [[clean_line(cell) for cell in row] for row in rows]
    names = [clean_line(name) for name in columns]
    if cut:
        giving = [at for at, name in enumerate(columns) if name in cut]
        cells = _cut(names, cells, width, giving)
    widths = _widths(names, cells, width)
    if widths is None:
        return _stacked(names, cells, width)
    lines: list[Line] = []
    if any(names):
        lines += _row(names, widths, QUIET)
    for row in cells:
        lines += _row(row, widths, PLAIN)
    return lines


def _cut(
    names: list[str], cells: list[list[str]], width: int, giving: list[int]
) -> list[list[str]]:
    """Give the cells with those of some columns cut, so that each row is one line of the width.

    Where not even that makes room, the cells stay whole.
    """
    wanted = _wanted(names, cells)
    room = width - GAP * (len(names) - 1) - sum(wanted)
    room += sum(wanted[at] for at in giving)
    if room < len(giving) * NARROW_COLUMN:
        return cells
    sizes = dict(zip(giving, _shares([wanted[at] for at in giving], room), strict=True))
    return [
        [_clipped(cell, sizes[at]) if at in sizes else cell for at, cell in enumerate(row)]
        for row in cells
    ]


def _clipped(text: str, size: int) -> str:
    return text if width_of(text) <= size else begin_of(text, size - 1).rstrip() + CUT


def _wanted(names: list[str], cells: list[list[str]]) -> list[int]:
    """Give the width at which no cell of a column is broken, for each column."""
    return [
        max(
            [width_of(names[at]), *(width_of(row[at]) for row in cells if at < len(row))], default=1
        )
        for at in range(len(names))
    ]


def _widths(names: list[str], cells: list[list[str]], width: int) -> list[int] | None:
    """Share the width out: each column what it needs, the widest give way; None if too narrow."""
    count = len(names)
    wanted = _wanted(names, cells)
    room = width - GAP * (count - 1)
    if sum(wanted) <= room:
        return wanted
    if room < count * NARROW_COLUMN:
        return None
    return _shares(wanted, room)


def _shares(wanted: list[int], room: int) -> list[int]:
    """Share columns out: each what it wants while there is room, and the widest alike."""
    fixed = [min(one, max(room // len(wanted), NARROW_COLUMN)) for one in wanted]
    spare = room - sum(fixed)
    hungry = [at for at in range(len(wanted)) if fixed[at] < wanted[at]]
    while spare > 0 and hungry:
        share = max(1, spare // len(hungry))
        for at in hungry:
            more = min(share, wanted[at] - fixed[at], spare)
            fixed[at] += more
            spare -= more
        hungry = [at for at in hungry if fixed[at] < wanted[at]]
    return fixed


def _row(row: Sequence[str], widths: list[int], style: str) -> list[Line]:
    blocks = [wrap(cell, size) for cell, size in zip(row, widths, strict=False)]
    height = max((len(block) for block in blocks), default=0)
    lines: list[Line] = []
    for at in range(height):
        text = ""
        for block, size in zip(blocks, widths, strict=False):
            piece = block[at] if at < len(block) else ""
            text += piece + " " * (size - width_of(piece) + GAP)
        lines.append([(style, text.rstrip())])
    return lines


def _stacked(names: list[str], cells: list[list[str]], width: int) -> list[Line]:
    lines: list[Line] = []
    for row in cells:
        for name, cell in zip(names, row, strict=False):
            if cell:
                lines += hanging(f"{name}: " if name else "  ", cell, width)
        lines.append([(STRONG, "")])
    return lines[:-1]
