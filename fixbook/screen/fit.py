"""Styled lines cut and filled to an exact number of columns, and where they can be clicked."""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.render.lines import PLAIN, Line, Piece, begin_of, width_of

CUT = ">"
"""Stands in the last column of a line that goes on."""


@dataclass(frozen=True, slots=True)
class Zone:
    """Columns of a row that can be clicked, and what that does."""

    begin: int
    end: int
    action: str
    about: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the screen."""

    line: Line
    zones: tuple[Zone, ...] = ()


def fit(line: Line, width: int, *, style: str = "") -> Line:
    """Give a line of exactly `width` columns; `style` is laid over all of it."""
    pieces: Line = []
    used = 0
    for old, text in line:
        size = width_of(text)
        if used + size > width:
            pieces += _cut(old, text, width - used)
            used = width
            break
        pieces.append((old, text))
        used += size
    if used < width:
        pieces.append((PLAIN, " " * (width - used)))
    return [(f"{old} {style}", text) for old, text in pieces] if style else pieces


def _cut(style: str, text: str, room: int) -> list[Piece]:
    if room <= 0:
        return []
    if text.isascii():
        return [(style, text[: room - 1] + CUT)]
    kept = begin_of(text, room - 1)
    return [(style, kept + CUT + " " * (room - 1 - width_of(kept)))]


def beside(left: Row, right: Row, left_width: int, right_width: int) -> Row:
    """Put two rows side by side, with a line between them."""
    shift = left_width + 3
    zones = tuple(
        Zone(one.begin + shift, one.end + shift, one.action, one.about) for one in right.zones
    )
    line = [*fit(left.line, left_width), (PLAIN, " | "), *fit(right.line, right_width)]
    return Row(line, (*left.zones, *zones))


def whole(line: Line, width: int, action: str, about: str = "") -> Row:
    """Give a row that can be clicked anywhere."""
    return Row(line, (Zone(0, width, action, about),))


def wrap_pieces(line: Line, width: int) -> list[Line]:
    """Break a styled line between words; at least one line."""
    rows: list[Line] = [[]]
    used = 0
    for style, text in line:
        words = text.split(" ")
        for at, word in enumerate(words):
            piece = word if at == len(words) - 1 else f"{word} "
            size = width_of(piece.rstrip())
            if used and used + size > width:
                old, last = rows[-1][-1]
                rows[-1][-1] = (old, last.rstrip())
                rows.append([])
                used = 0
            rows[-1].append((style, piece))
            used += width_of(piece)
    return rows
