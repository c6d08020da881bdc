"""CommonMark as styled lines: what a reader of a terminal needs of it, nothing more."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fixbook.render.clean import clean, clean_line
from fixbook.render.lines import (
    HEADING,
    LEAST_ROOM,
    PLAIN,
    Line,
    hanging,
    paragraphs,
    wrap,
)
from fixbook.render.table import table_lines

if TYPE_CHECKING:
    from markdown_it.token import Token


DEEPEST = 100
"""Blocks nested deeper than this are left out; the library's own limit of 20 is soon met."""


def markdown_lines(text: str, width: int) -> list[Line]:
    """Lay CommonMark out in lines of at most `width` columns."""
    from markdown_it import MarkdownIt  # 40 ms that a search never pays

    options = {"html": False, "maxNesting": DEEPEST}
    tokens = MarkdownIt("commonmark", options).enable("table").parse(text)
    lines = _Layout(width).lay(tokens, width)
    while lines and not any(piece.strip() for _, piece in lines[-1]):
        lines.pop()
    return lines


def inline_text(tokens: Sequence[Token]) -> str:
    """Give the words of inline tokens; a picture gives its alternative text."""
    words = []
    for token in tokens:
        if token.type in ("text", "code_inline", "html_inline"):
            words.append(token.content)
        elif token.type == "image":
            words.append(f"[picture: {token.content}]")
        elif token.type == "softbreak":
            words.append(" ")
        elif token.type == "hardbreak":
            words.append("\n")
    return "".join(words)


class _Layout:
    """Walks block tokens; each kind of block has a method named after it."""

    def __init__(self, width: int) -> None:
        self.width = width

    def lay(self, tokens: Sequence[Token], width: int) -> list[Line]:
        lines: list[Line] = []
        at = 0
        while at < len(tokens):
            end = _end(tokens, at)
            block = getattr(self, f"_{tokens[at].type.removesuffix('_open')}", self._other)
            lines += block(tokens[at : end + 1], width)
            at = end + 1
        return lines

    def _heading(self, tokens: Sequence[Token], width: int) -> list[Line]:
        text = inline_text(tokens[1].children or ())
        return [*[[(HEADING, line)] for line in wrap(text, width)], []]

    def _paragraph(self, tokens: Sequence[Token], width: int) -> list[Line]:
        return [*paragraphs(inline_text(tokens[1].children or ()), width), []]

    def _bullet_list(self, tokens: Sequence[Token], width: int) -> list[Line]:
        return self._list(tokens, width, numbered=False)

    def _ordered_list(self, tokens: Sequence[Token], width: int) -> list[Line]:
        return self._list(tokens, width, numbered=True)

    def _list(self, tokens: Sequence[Token], width: int, *, numbered: bool) -> list[Line]:
        lines: list[Line] = []
        at = 1
        while at < len(tokens) - 1:
            end = _end(tokens, at)
            mark = f"{clean_line(tokens[at].info) or '1'}. " if numbered else "- "
            mark = mark if width - len(mark) >= LEAST_ROOM else ""  # nested past any reading
            inner = self.lay(tokens[at + 1 : end], width - len(mark))
            while inner and not inner[-1]:
                inner.pop()
            for number, line in enumerate(inner):
                lines.append([(PLAIN, mark if not number else " " * len(mark)), *line])
            at = end + 1
        return [*lines, []]

    def _blockquote(self, tokens: Sequence[Token], width: int) -> list[Line]:
        mark = "| " if width - 2 >= LEAST_ROOM else ""
        inner = self.lay(tokens[1:-1], width - len(mark))
        return [[(PLAIN, mark), *line] for line in inner[:-1]] + [[]]

    def _fence(self, tokens: Sequence[Token], width: int) -> list[Line]:
        code = clean(tokens[0].content).rstrip("\n").split("\n")
        return [*[[(PLAIN, f"    {line}")] for line in code], []]

    _code_block = _fence

    def _hr(self, tokens: Sequence[Token], width: int) -> list[Line]:
        return [[(PLAIN, "-" * min(width, 20))], []]

    def _table(self, tokens: Sequence[Token], width: int) -> list[Line]:
        rows: list[list[str]] = []
        for token in tokens:
            if token.type == "tr_open":
                rows.append([])
            elif token.type == "inline" and rows:
                rows[-1].append(inline_text(token.children or ()))
        head, *body = rows or [[]]
        return [*table_lines(head, body, width), []]

    def _other(self, tokens: Sequence[Token], width: int) -> list[Line]:
        words = [inline_text(one.children or ()) or one.content for one in tokens]
        text = " ".join(word for word in words if word)
        return [*hanging("", text, width), []] if text else []


def _end(tokens: Sequence[Token], at: int) -> int:
    """Give the index of the token that closes the block begun at `at`."""
    if tokens[at].nesting != 1:
        return at
    depth = 0
    for index in range(at, len(tokens)):
        depth += tokens[index].nesting
        if depth == 0:
            return index
    return len(tokens) - 1
