"""CommonMark as HTML: words, lists, tables and pictures of the book; no HTML, no way out.

A link leads to another page where there is one for it. Every other link is its words, with the
address beside them where there is one to be typed: nothing that is clicked leaves the page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from html import escape
from typing import TYPE_CHECKING

from fixbook.render.clean import clean, clean_line

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

DEEPEST = 100
"""Blocks nested deeper than this are left out."""
ADDRESS = ("http://", "https://", "mailto:")

Href = Callable[[str], str]
"""Gives the page that a link's target has, empty where it has none."""
Source = Callable[[str], str]
"""Gives a picture of the book as a `data:` address, empty where there is none."""


def markdown_html(text: str, href: Href, source: Source, *, heading: int = 3) -> str:
    """Write CommonMark as HTML; the first level of its headings becomes `heading`."""
    parser = _parser()
    tokens = parser.parse(text)
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, heading + max(0, int(token.tag[1:]) - 3))}"
        token.content = clean(token.content)
        token.info = ""  # a language named at a fence is nothing to show
        if token.type == "inline":
            token.children = list(_inline(token.children or [], href, source))
        _plain_attributes(token)
    return str(parser.renderer.render(tokens, parser.options, {}))


@cache
def _parser() -> MarkdownIt:
    from markdown_it import MarkdownIt

    options = {"html": False, "maxNesting": DEEPEST}
    return MarkdownIt("commonmark", options).enable("table")


def _plain_attributes(token: Token) -> None:
    """Keep of a block's attributes the number that a list begins with, and nothing else."""
    start = token.attrs.get("start")
    token.attrs = {"start": str(int(start))} if start is not None else {}


def _inline(tokens: Sequence[Token], href: Href, source: Source) -> Iterator[Token]:
    ends: list[str] = []
    for token in tokens:
        if token.type == "link_open":
            begin, end = _link(str(token.attrs.get("href", "")), href)
            ends.append(end)
            yield _html(begin)
        elif token.type == "link_close":
            yield _html(ends.pop() if ends else "")
        elif token.type == "image":
            yield _html(_picture(token, source))
        else:
            token.content = clean(token.content)
            token.attrs = {}
            yield token


def _link(target: str, href: Href) -> tuple[str, str]:
    page = href(target)
    if page:
        return f'<a href="{escape(page)}">', "</a>"
    told = f" ({escape(clean_line(target))})" if target.lower().startswith(ADDRESS) else ""
    return '<span class="link">', f"</span>{told}"


def _picture(token: Token, source: Source) -> str:
    words = clean_line("".join(_words(token.children or [])))
    found = source(str(token.attrs.get("src", "")))
    if not found:
        return f"<span>[picture: {escape(words)}]</span>"
    return f'<img class="picture" src="{escape(found)}" alt="{escape(words)}">'


def _words(tokens: Sequence[Token]) -> Iterator[str]:
    for token in tokens:
        yield token.content if token.type in ("text", "code_inline") else " "


def _html(text: str) -> Token:
    from markdown_it.token import Token

    return Token("html_inline", "", 0, content=text)
