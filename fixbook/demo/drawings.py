"""The pictures of the book: boards seen from above, drawn from their parts."""

from __future__ import annotations

from typing import NamedTuple
from xml.sax.saxutils import escape

INK = 'fill="none" stroke="black" stroke-width="2"'


class Shape(NamedTuple):
    """A part on a board: a box or a ring, with its name."""

    kind: str
    """`box`, `ring`, or `line` to (x + w, y + h)."""
    x: int
    y: int
    w: int
    h: int
    name: str = ""


class Drawing(NamedTuple):
    """A drawing with what it shows in words."""

    title: str
    about: str
    shapes: tuple[Shape, ...]


def _board(*shapes: Shape) -> tuple[Shape, ...]:
    return (Shape("box", 20, 20, 560, 260), *shapes)


DRAWINGS = {
    "vg220-board": Drawing(
        "Amplifier board of the VG-220",
        "Board seen from above: heat-sinks left and right, RV3 beside R41 on the left, RV4 beside "
        "R42 on the right.",
        _board(
            Shape("box", 30, 30, 60, 240, "left"), Shape("box", 510, 30, 60, 240, "right"),
            Shape("ring", 170, 120, 36, 36, "RV3"), Shape("box", 150, 200, 76, 24, "R41"),
            Shape("ring", 390, 120, 36, 36, "RV4"), Shape("box", 370, 200, 76, 24, "R42"),
        ),
    ),
    "vg220-delay": Drawing(
        "Relay corner of the VG-220",
        "The relay at the back edge, C31 and C32 in front of it, the hot resistor R60 beside C31.",
        _board(
            Shape("box", 360, 40, 160, 90, "relay"), Shape("ring", 200, 170, 56, 56, "C31"),
            Shape("ring", 300, 180, 40, 40, "C32"), Shape("box", 80, 180, 90, 30, "R60, hot"),
        ),
    ),
    "p12-ribbons": Drawing(
        "Ribbons of the P-12 from below",
        "Three ribbons side by side, W1 to W3, each over four strips, and the steel lid of the "
        "supply at the right.",
        _board(
            Shape("box", 50, 60, 120, 60, "W1: 1 to 4"), Shape("box", 190, 60, 120, 60, "W2: 5 to 8"),
            Shape("box", 330, 60, 120, 60, "W3: 9 to 12"),
            Shape("box", 470, 40, 90, 220, "steel lid"), Shape("box", 50, 180, 400, 60, "master board"),
            Shape("line", 110, 120, 0, 60), Shape("line", 250, 120, 0, 60), Shape("line", 390, 120, 0, 60),
        ),
    ),
    "td40-ribbon": Drawing(
        "Pick-up ribbon of the TD-40",
        "The sled at the outer end of its travel, where the ribbon W1 folds tightest, between the "
        "pick-up and the latch on the board.",
        _board(
            Shape("box", 400, 60, 120, 70, "pick-up"), Shape("box", 80, 190, 120, 40, "latch"),
            Shape("line", 460, 130, 60, 60), Shape("line", 520, 190, -320, 20, "W1, tightest here"),
        ),
    ),
    "t3-speed-board": Drawing(
        "Speed board of the T-3",
        "VR1 for 33 and VR2 for 45 at the front edge, C4 between them, and the card over the mains "
        "terminals at the rear left.",
        _board(
            Shape("box", 40, 40, 150, 80, "card: leave"), Shape("ring", 260, 190, 36, 36, "VR1, 33"),
            Shape("ring", 420, 190, 36, 36, "VR2, 45"), Shape("box", 340, 130, 40, 20, "C4"),
        ),
    ),
}  # fmt: skip


def draw(drawing: Drawing) -> bytes:
    """Give a drawing as SVG, which says what it shows and runs nothing."""
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="600" height="300" viewBox="0 0 600 300" '
        'font-family="sans-serif" font-size="15" role="img">'
    )
    told = f"<title>{escape(drawing.title)}</title>\n<desc>{escape(drawing.about)}</desc>"
    paper = '<rect width="600" height="300" fill="white"/>'
    lines = [head, told, paper, *(line for one in drawing.shapes for line in _lines(one)), "</svg>"]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _lines(one: Shape) -> list[str]:
    x, y = one.x + one.w // 2, one.y + one.h // 2
    if one.kind == "ring":
        made = f'<circle cx="{x}" cy="{y}" r="{one.w // 2}" {INK}/>'
        y = one.y + one.h + 20
    elif one.kind == "line":
        made = f'<path d="M{one.x} {one.y} l{one.w} {one.h}" {INK}/>'
        y += 30
    else:
        made = f'<rect x="{one.x}" y="{one.y}" width="{one.w}" height="{one.h}" rx="4" {INK}/>'
        y += 5
    name = f'<text x="{x}" y="{y}" text-anchor="middle">{escape(one.name)}</text>'
    return [made, name] if one.name else [made]
