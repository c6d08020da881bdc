"""Tables as styled lines: columns side by side where they fit, one under another where not."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.render.clean import clean_line
from fixbook.render.lines import PLAIN, QUIET, STRONG, Line, hanging, width_of, wrap

GAP = 2
NARROW_COLUMN = 10


def table_lines(columns: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> list[Line]:
    """Lay a table out; cells are broken over lines rather than cut."""
    cells = [[clean_line(cell) for cell in row] for row in rows]
    names = [clean_line(name) for name in columns]
    widths = _widths(names, cells, width)
    if widths is None:
        return _stacked(names, cells, width)
    lines: list[Line] = []
    if any(names):
        lines += _row(names, widths, QUIET)
    for row in cells:
        lines += _row(row, widths, PLAIN)
    return lines


def _widths(names: list[str], cells: list[list[str]], width: int) -> list[int] | None:
    """Share the width out: each column what it needs, the widest give way; None if too narrow."""
    count = len(names)
    wanted = [
        max(
            [width_of(names[at]), *(width_of(row[at]) for row in cells if at < len(row))], default=1
        )
        for at in range(count)
    ]
    room = width - GAP * (count - 1)
    if sum(wanted) <= room:
        return wanted
    if room < count * NARROW_COLUMN:
        return None
    fixed = [min(one, max(room // count, NARROW_COLUMN)) for one in wanted]
    spare = room - sum(fixed)
    hungry = [at for at in range(count) if fixed[at] < wanted[at]]
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
