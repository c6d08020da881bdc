"""Circuits drawn with schemdraw, turned into SVG that a sheet of paper can take in.

Wires and parts come from schemdraw; words are placed here, as plain text with a plain base line,
since not every viewer follows the base line that schemdraw asks for.
"""

from __future__ import annotations

import itertools
import re

import schemdraw
import schemdraw.elements as elm
from paper import Paper

schemdraw.use("svg")
schemdraw.svgconfig.text = "text"
elm.style(elm.STYLE_IEC)

Spot = tuple[float, float]
UNIT = 36
"""Pixels a unit; a circuit's y goes up, a page's down."""
MARGIN = 12
SIZE = 14


class Circuit:
    """A circuit in the making: parts between spots, and words beside them."""

    def __init__(self) -> None:
        """Begin with an empty sheet."""
        self._drawing = schemdraw.Drawing(show=False, canvas="svg")
        self._drawing.config(fontsize=SIZE, lw=2, font="sans-serif")
        self._notes: list[tuple[Spot, str, str, bool]] = []

    def part(self, element: elm.Element2Term, start: Spot, end: Spot) -> None:
        """Put a two-ended part between two spots."""
        self._drawing += element.endpoints(start, end)

    def place(self, element: elm.Element) -> elm.Element:
        """Put a part that says itself where it lies; return it for its pins."""
        self._drawing += element
        return element

    def wire(self, *spots: Spot, lw: float = 2, ls: str = "-") -> None:
        """Join the spots by straight lines."""
        for start, end in itertools.pairwise(spots):
            self._drawing += elm.Line(lw=lw, ls=ls).endpoints(start, end)

    def dot(self, *spots: Spot, hollow: bool = False) -> None:
        """Mark joints, or terminals when hollow."""
        for spot in spots:
            self._drawing += elm.Dot(open=hollow).at(spot)

    def note(self, spot: Spot, words: str, align: str = "start", *, bold: bool = False) -> None:
        """Write words whose middle height is at the spot; align is start, middle or end."""
        self._notes.append((spot, words, align, bold))

    def frame(self, low: Spot, high: Spot, *, ls: str = "--") -> None:
        """Draw a box from its lower left to its upper right corner."""
        (left, bottom), (right, top) = low, high
        corners = [(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)]
        self.wire(*corners, lw=1.2, ls=ls)

    def block(self, low: Spot, high: Spot, *rows: str) -> None:
        """Draw a solid box with words in its middle."""
        self.frame(low, high, ls="-")
        middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
        for number, row in enumerate(rows):
            lift = ((len(rows) - 1) / 2 - number) * 0.5
            self.note((middle[0], middle[1] + lift), row, "middle")

    def size(self) -> tuple[float, float, float, float]:
        """Return left, top, right and bottom in pixels, words taken in."""
        found = re.search(r'viewBox="([^"]*)"', self._whole())
        assert found is not None
        left, top, width, height = map(float, found[1].split())
        right, bottom = left + width, top + height
        for (x, y), words, align, _ in self._notes:
            wide = 0.58 * SIZE * len(words)
            start = x * UNIT - {"start": 0.0, "middle": wide / 2, "end": wide}[align]
            left, right = min(left, start), max(right, start + wide)
            top, bottom = min(top, -y * UNIT - SIZE), max(bottom, -y * UNIT + SIZE)
        return left, top, right, bottom

    def draw_on(self, paper: Paper, x: float, y: float) -> None:
        """Put the circuit on the paper with its top left at (x, y)."""
        left, top, _, _ = self.size()
        whole = self._whole()
        shapes = whole[whole.index(">") + 1 : whole.rindex("</svg>")]
        shapes = shapes.replace("stroke-dasharray:-;", "").replace("><", ">\n<")
        paper.embed(TEXT.sub(plain_text, shapes), x - left, y - top)
        for (spot_x, spot_y), words, align, bold in self._notes:
            across, down = spot_x * UNIT + x - left, -spot_y * UNIT + y - top + 0.35 * SIZE
            paper.text(across, down, words, size=SIZE, anchor=align, bold=bold)

    def paper(self, name: str, title: str, desc: str, *, room_below: int = 0) -> Paper:
        """Return a sheet that holds this circuit, with room for more below it if asked."""
        left, top, right, bottom = self.size()
        wide, high = round(right - left + 2 * MARGIN), round(bottom - top + 2 * MARGIN)
        paper = Paper(name, title, desc, wide, high + room_below)
        self.draw_on(paper, MARGIN, MARGIN)
        return paper

    def _whole(self) -> str:
        whole: str = self._drawing.get_imagedata("svg").decode()
        return whole


TEXT = re.compile(
    r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*font-size="(\d+)"[^>]*text-anchor="(\w+)">\s*'
    r'<tspan x="[-\d.]+" dy="([-\d.]+)">([^<]*)</tspan>\s*</text>'
)


def plain_text(found: re.Match[str]) -> str:
    """Turn schemdraw's text, centred by a base line rule, into text at a plain base line."""
    x, y, size, anchor, down, words = found.groups()
    base = float(y) + float(down) + 0.35 * int(size)
    return f'<text x="{x}" y="{base:.2f}" font-size="{size}" text-anchor="{anchor}">{words}</text>'
