"""A body taken apart at its headings, by the CommonMark parser."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token


@dataclass(frozen=True, slots=True)
class Section:
    """One heading and what stands under it."""

    heading: str
    """Empty for what stands before the first heading."""
    text: str
    """CommonMark."""
    steps: tuple[str, ...] = ()
    """The items, as CommonMark, where the section is one ordered list and nothing else."""


def parser() -> MarkdownIt:
    """Make the parser for bodies: CommonMark and tables, no HTML."""
    from markdown_it import MarkdownIt  # 40 ms that a search never pays

    return MarkdownIt("commonmark", {"html": False}).enable("table")


@cache
def _blocks() -> MarkdownIt:
    """Make a parser that finds the blocks of a text and leaves what stands in them alone."""
    return parser().disable("inline")


def sections(body: str) -> list[Section]:
    """Split a body at its headings of level 1 and 2."""
    body = body.replace("\r\n", "\n").replace("\r", "\n")  # as the parser counts lines
    lines = body.split("\n")
    tokens = _blocks().parse(body)
    heads = [
        (index, token)
        for index, token in enumerate(tokens)
        if token.type == "heading_open" and token.level == 0 and token.tag in ("h1", "h2")
    ]
    starts = [token.map[0] for _, token in heads if token.map]
    before = _section("", lines[: starts[0] if starts else len(lines)])
    found = [before] if before.text else []
    for place, (index, token) in enumerate(heads):
        if token.map is None:
            continue
        end = starts[place + 1] if place + 1 < len(starts) else len(lines)
        found.append(_section(tokens[index + 1].content, lines[token.map[1] : end]))
    return found


@dataclass(frozen=True, slots=True)
class Part:
    """A run of a section: one ordered list, or what stands between two."""

    text: str
    """CommonMark; empty for a list."""
    steps: tuple[str, ...] = ()
    """The items of the list, as CommonMark."""
    first: int = 1
    """The number of the first item."""


def parts(text: str) -> list[Part]:
    """Split CommonMark into its ordered lists, item by item, and what stands between them."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")  # as the parser counts lines
    lines = text.split("\n")
    tokens = _blocks().parse(text)
    found, done = [], 0
    for index, token in enumerate(tokens):
        if token.type != "ordered_list_open" or token.level or token.map is None:
            continue
        begin, end = token.map
        found.append(Part("\n".join(lines[done:begin])))
        items = [one for one in tokens[index:] if one.type == "list_item_open" and one.level == 1]
        inside = [one for one in items if one.map and one.map[0] < end]
        steps = tuple(_item(lines, one) for one in inside)
        found.append(Part("", steps, int(token.attrs.get("start", 1))))
        done = end
    found.append(Part("\n".join(lines[done:])))
    return [part for part in found if part.steps or part.text.strip()]


def _section(heading: str, lines: list[str]) -> Section:
    text = "\n".join(lines).strip("\n")
    return Section(heading, text, _steps(text) if text.lstrip()[:1].isdigit() else ())


def _steps(text: str) -> tuple[str, ...]:
    tokens = _blocks().parse(text)
    top = [token for token in tokens if token.level == 0 and token.nesting >= 0]
    if len(top) != 1 or top[0].type != "ordered_list_open":
        return ()
    lines = text.split("\n")
    items = [token for token in tokens if token.type == "list_item_open" and token.level == 1]
    return tuple(_item(lines, token) for token in items)


def _item(lines: list[str], token: Token) -> str:
    begin, end = token.map or (0, 0)
    first, *rest = lines[begin:end]
    marker = len(first) - len(first.lstrip()) + len(token.info) + len(token.markup)
    text = first[marker:]
    indent = marker + len(text) - len(text.lstrip())
    return "\n".join([text.lstrip(), *(line[min(indent, _blank(line)) :] for line in rest)]).strip()


def _blank(line: str) -> int:
    return len(line) - len(line.lstrip())
