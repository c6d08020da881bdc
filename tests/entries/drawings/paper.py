"""A sheet of drawing paper that writes plain SVG: black on white, text kept as text.

Coordinates are pixels from the top left. Numbers are rounded to two places, so that the same
drawing gives the same file on every machine. No scripts, no fonts, nothing from outside.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from html import escape

GREY = "#d8d8d8"
Point = tuple[float, float]


def rounded(value: float) -> str:
    """Return a coordinate with two places at most and without a negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@dataclass
class Paper:
    """One drawing; `name` is the file name without its ending."""

    name: str
    title: str
    desc: str
    width: int
    height: int
    shapes: list[str] = field(default_factory=list)

    def path(
        self, d: str, *, width: float = 2, fill: str = "none", dash: str = "", stroke: str = "black"
    ) -> None:
        """Add a path in SVG path language."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.shapes.append(
            f'<path d="{d}" fill="{fill}" stroke="{stroke}"'
            f' stroke-width="{rounded(width)}"{dashes}/>'
        )

    def poly(
        self,
        points: list[Point],
        *,
        width: float = 2,
        fill: str = "none",
        dash: str = "",
        closed: bool = False,
    ) -> None:
        """Add straight lines through the points."""
        d = "M" + " L".join(f"{rounded(x)},{rounded(y)}" for x, y in points)
        self.path(d + (" Z" if closed else ""), width=width, fill=fill, dash=dash)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, width: float = 2, dash: str = ""
    ) -> None:
        """Add one straight line."""
        self.poly([(x1, y1), (x2, y2)], width=width, dash=dash)

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        *,
        fill: str = "white",
        width: float = 2,
        round_by: float = 0,
        dash: str = "",
    ) -> None:
        """Add a box; its top left corner is (x, y)."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.shapes.append(
            f'<rect x="{rounded(x)}" y="{rounded(y)}" width="{rounded(w)}" height="{rounded(h)}"'
            f' rx="{rounded(round_by)}" fill="{fill}" stroke="black"'
            f' stroke-width="{rounded(width)}"{dashes}/>'
        )

    def circle(
        self, x: float, y: float, r: float, *, fill: str = "white", width: float = 2, dash: str = ""
    ) -> None:
        """Add a circle round (x, y)."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.shapes.append(
            f'<circle cx="{rounded(x)}" cy="{rounded(y)}" r="{rounded(r)}" fill="{fill}"'
            f' stroke="black" stroke-width="{rounded(width)}"{dashes}/>'
        )

    def half_disc(self, x: float, y: float, r: float, *, side: str) -> None:
        """Blacken the left or right half of a circle: the minus mark of a can."""
        sweep = 0 if side == "left" else 1
        d = f"M{rounded(x)},{rounded(y - r)} A{rounded(r)},{rounded(r)} 0 0 {sweep}"
        self.path(f"{d} {rounded(x)},{rounded(y + r)} Z", fill="black", width=1)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: int = 14,
        anchor: str = "start",
        bold: bool = False,
    ) -> None:
        """Write words; (x, y) is the base line's start, middle or end."""
        weight = ' font-weight="bold"' if bold else ""
        self.shapes.append(
            f'<text x="{rounded(x)}" y="{rounded(y)}" font-size="{size}" text-anchor="{anchor}"'
            f' fill="black"{weight}>{escape(words)}</text>'
        )

    def lines(
        self, x: float, y: float, words: list[str], *, size: int = 14, anchor: str = "start"
    ) -> None:
        """Write several lines of words below each other."""
        for number, row in enumerate(words):
            self.text(x, y + number * size * 1.3, row, size=size, anchor=anchor)

    def arrow(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        *,
        width: float = 2,
        head: float = 10,
        dash: str = "",
    ) -> None:
        """Add an arrow that points at (x2, y2)."""
        angle = math.atan2(y2 - y1, x2 - x1)
        back = (x2 - 0.8 * head * math.cos(angle), y2 - 0.8 * head * math.sin(angle))
        self.line(x1, y1, *back, width=width, dash=dash)
        sides = [
            (x2 - head * math.cos(angle + turn), y2 - head * math.sin(angle + turn))
            for turn in (-0.4, 0.4)
        ]
        self.poly([(x2, y2), *sides], fill="black", width=1, closed=True)

    def cross_out(self, x: float, y: float, r: float) -> None:
        """Put a heavy cross over (x, y): not this way."""
        self.line(x - r, y - r, x + r, y + r, width=4)
        self.line(x - r, y + r, x + r, y - r, width=4)

    def number(self, x: float, y: float, words: str) -> None:
        """Put a ringed number at (x, y)."""
        self.circle(x, y, 12, width=1.5)
        self.text(x, y + 5, words, anchor="middle", bold=True)

    def embed(self, circuit: str, x: float, y: float) -> None:
        """Put a finished circuit (inner SVG whose top left is 0, 0) at (x, y)."""
        self.shapes.append(f'<g transform="translate({rounded(x)},{rounded(y)})">{circuit}</g>')

    def svg(self) -> str:
        """Return the whole file."""
        body = "\n".join(self.shapes)
        body = re.sub(r"-?\d+\.\d{3,}", lambda m: rounded(float(m[0])), body)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width}" height="{self.height}"'
            f' viewBox="0 0 {self.width} {self.height}" font-family="sans-serif" role="img"'
            f' stroke-linecap="round" stroke-linejoin="round">\n'
            f"<title>{escape(self.title)}</title>\n<desc>{escape(self.desc)}</desc>\n"
            f'<rect width="{self.width}" height="{self.height}" fill="white"/>\n{body}\n</svg>\n'
        )
