"""Styled lines: what every renderer here gives, and how texts are broken to a width.

A line is a list of (style, text) pairs. Styles are names of `STYLES`; a screen maps them to its
own, a pipe drops them. Meaning is never in the style alone.
"""

from __future__ import annotations

import textwrap

from fixbook.render.clean import clean, clean_line

PLAIN, TITLE, HEADING, CAUTION, GOOD, DOUBT, BAD, QUIET, STRONG, FOUND = (
    "plain", "title", "heading", "caution", "good", "doubt", "bad", "quiet", "strong", "found",
)  # fmt: skip
STYLES = (PLAIN, TITLE, HEADING, CAUTION, GOOD, DOUBT, BAD, QUIET, STRONG, FOUND)

Piece = tuple[str, str]
Line = list[Piece]

LEAST_ROOM = 10
"""Text is not squeezed into fewer columns than this."""
NARROWEST, WIDEST = 40, 110
"""Lines longer than the widest are hard to read; narrower terminals break lines themselves."""


NARROW = frozenset(
    "\u2026\u2013\u2014\u2018\u2019\u201c\u201d\u2192\u2022\ufffd\u2588\u2592\u2591\u25bc\u2500"
)
"""Signs beyond Latin that take one column: dots, dashes, quotes, an arrow, a bullet, blocks."""


PLAINER = str.maketrans({"\u2588": "#", "\u2592": "+", "\u2591": ".", "\u25bc": "v", "\u2500": "-"})
"""What stands for the blocks of drawings on a terminal that has none."""


def text_of(line: Line) -> str:
    """Give a line's text without its styles."""
    return "".join(text for _, text in line)


def width_of(text: str) -> int:
    """Give how many columns a text takes on a terminal, letter by letter, as the screen places them.

    Letters that a newer terminal would join to one sign are counted each: no line is too long then.
    """
    if text.isascii() or all(letter < "\u0300" or letter in NARROW for letter in text):
        return len(text)
    from wcwidth import wcwidth  # 15 ms that Latin script never pays

    return sum(max(0, wcwidth(letter)) for letter in text)


def usable(width: int) -> int:
    """Give the width to lay text out in, for a terminal of this width."""
    return max(NARROWEST, min(width, WIDEST))


def wrap(text: str, width: int) -> list[str]:
    """Break one paragraph into lines of at most `width` columns; at least one line."""
    flat = clean_line(text)
    if width_of(flat) == len(flat):
        return textwrap.wrap(flat, max(width, LEAST_ROOM), break_on_hyphens=False) or [""]
    return _wrap_wide(flat, max(width, LEAST_ROOM))


def paragraphs(text: str, width: int, *, style: str = PLAIN, indent: int = 0) -> list[Line]:
    """Lay out plain text of several lines; each source line begins a new one."""
    pad = " " * indent
    return [
        [(style, pad + line)]
        for source in clean(text).split("\n")
        for line in wrap(source, width - indent)
    ]


def hanging(first: str, text: str, width: int, *, style: str = PLAIN) -> list[Line]:
    """Lay out a text behind a mark such as `3. `, with its later lines under the first.

    A mark that leaves too little room stands on lines of its own, above the text.
    """
    pad = " " * width_of(first)
    if width - len(pad) < LEAST_ROOM:
        above: list[Line] = [[(STRONG, line)] for line in wrap(first, width)]
        return above + [[(PLAIN, "  "), (style, line)] for line in wrap(text, width - 2)]
    lines = wrap(text, width - len(pad))
    return [
        [(STRONG if not number else PLAIN, first if not number else pad), (style, line)]
        for number, line in enumerate(lines)
    ]


def begin_of(text: str, width: int) -> str:
    """Give as much of a text's beginning as so many columns hold; marks stay with their letter."""
    used = 0
    for place, letter in enumerate(text):
        used += width_of(letter)
        if used > width:
            return text[:place]
    return text


def rule(width: int) -> Line:
    """Give a thin line across."""
    return [(QUIET, "-" * width)]


def _wrap_wide(flat: str, width: int) -> list[str]:
    lines, line, used = [], "", 0
    for word in flat.split(" "):
        size = width_of(word)
        if line and used + 1 + size > width:
            lines.append(line)
            line, used = "", 0
        while size > width:  # a word longer than a line, or a script without blanks
            head = begin_of(word, width)
            lines.append(head)
            word = word[len(head) :]
            size = width_of(word)
        if word:
            line = f"{line} {word}" if line else word
            used = width_of(line)
    return [*lines, line] if line or not lines else lines
