"""Text from files, made harmless for a terminal.

Control characters could move the cursor, set the title or ring; direction marks could make a
line read as another; an accent without a letter would join the end of the line before; selectors
that change a sign's look change its width on some terminals. Each becomes a visible mark, goes, or
gets a sign to stand on; nothing else is changed.
"""

from __future__ import annotations

import re
from unicodedata import category

MARK = "\N{REPLACEMENT CHARACTER}"
"""Stands where a control character stood."""

STAND = "\N{DOTTED CIRCLE}"
"""Stands under an accent that has no letter."""

_TABLE: dict[int, str | None] = dict.fromkeys((*range(32), *range(127, 160)), MARK)
_TABLE.update({ord("\t"): "    ", ord("\r"): " ", 0x2028: " ", 0x2029: " "})
_TABLE[ord("\n")] = "\n"
# Direction marks and overrides, invisible joiners of words, tags, annotations, byte-order marks,
# selectors of a variation or of a skin's tone.
_TABLE.update(
    dict.fromkeys(
        (
            0x00AD, 0x061C, 0x180E, *range(0x200B, 0x2010), *range(0x202A, 0x202F),
            *range(0x2060, 0x2070), 0xFEFF, *range(0xFFF9, 0xFFFC), *range(0xE0000, 0xE0080),
            *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0), *range(0x1F3FB, 0x1F400),
        ),
        None,
    )
)  # fmt: skip
_EACH = dict.fromkeys((*_TABLE, *range(0xD800, 0xE000)), MARK) | {0xA0: " "}
_SURROGATE = re.compile("[\ud800-\udfff]")
_FIRST = re.compile(r"(?:^|(?<=\s))[^\x00-\x7f\s]")
"""A letter, or a mark without one, at the beginning or after a blank."""


def clean(text: str) -> str:
    """Give text that a terminal can show and nothing else; newlines are kept."""
    if text.isascii() and text.isprintable():
        return text
    cleaned = text.translate(_TABLE)
    if cleaned.isascii():
        return cleaned
    return _FIRST.sub(_settled, _SURROGATE.sub(MARK, cleaned))


def _settled(found: re.Match[str]) -> str:
    """Give a sign to stand on to a mark that has none; else the line before would get it."""
    letter = found.group()
    return STAND + letter if category(letter).startswith("M") else letter


def clean_line(text: str) -> str:
    """Give cleaned text on one line, with single blanks."""
    return " ".join(clean(text).split())


def clean_letters(text: str) -> str:
    """Give a text of the same length, with a mark for each letter that would do anything but show.

    For text that is being typed: the cursor stands among its letters, so none may go.
    """
    return text if text.isascii() and text.isprintable() else text.translate(_EACH)
