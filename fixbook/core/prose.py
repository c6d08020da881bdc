"""A person's text as lines of a file: a sentence a line, so that two people's changes merge."""

from __future__ import annotations

import re

WIDTH = 100
_SENTENCE_END = re.compile(r"(?<=[^\d\s][.!?]) +(?=[A-Z0-9\[(])")
_BLOCK_START = re.compile(r"(?:[-+*#>|=~`]|\d{1,9}[.)]|:?-{3})")
"""What begins another block of CommonMark when it stands first on a line."""
_HEADING = re.compile(r"(?:(?:[-+*]|\d{1,9}[.)]) +|> ?)*#{1,6}(?: |$)")
"""A heading, in lists and quotations as well."""


def prose_lines(text: str, *, indent: str = "") -> str:
    """Lay paragraphs out as short lines; the words, and what CommonMark makes of them, stay."""
    paragraphs = [" ".join(one.split()) for one in re.split(r"\n[ \t]*\n", text.strip())]
    laid = [f"\n{indent}".join(_lines(one, WIDTH - len(indent))) for one in paragraphs if one]
    return f"\n\n{indent}".join(laid)


def sentences(text: str) -> str:
    """Put each sentence of a text on a line of its own."""
    lines = (" ".join(line.split()) for line in text.split("\n"))
    return "\n".join(one for line in lines if line for one in _SENTENCE_END.split(line))


def _lines(paragraph: str, width: int) -> list[str]:
    if _HEADING.match(paragraph):
        return [paragraph]  # a heading ends with its line
    lines: list[str] = []
    for sentence in _SENTENCE_END.split(paragraph):
        words = sentence.split(" ")
        line = words[0]
        if lines and _BLOCK_START.match(line):
            line = f"{lines.pop()} {line}"
        for word in words[1:]:
            if len(line) + 1 + len(word) > width and not _BLOCK_START.match(word):
                lines.append(line)
                line = word
            else:
                line = f"{line} {word}"
        lines.append(line)
    return lines
