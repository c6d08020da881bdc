"""Link targets, and finding the links of a body."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from fixbook.core.links import Link, links_in, read_link

QUICK = settings(max_examples=100, deadline=None)


@pytest.mark.parametrize(
    ("target", "link"),
    [
        ("fault:amp-dc-offset", Link("fault", "amp-dc-offset")),
        (" job:2041 ", Link("job", "2041")),
        ("../pictures/points.svg", Link("", "../pictures/points.svg")),
        ("../pictures/test%20points.svg", Link("", "../pictures/test points.svg")),
        (
            "calc:esr-limit?capacitance=470uF&rated_voltage=25V",
            Link("calc", "esr-limit", {"capacitance": "470uF", "rated_voltage": "25V"}),
        ),
        ("calc:esr-limit?", Link("calc", "esr-limit")),
        ("calc:limit?value=4%207%25", Link("calc", "limit", {"value": "4 7%"})),
        ("calc:limit?tolerance=+-5%25", Link("calc", "limit", {"tolerance": "+-5%"})),
        ("calc:limit?value=", Link("calc", "limit", {"value": ""})),
        ("calc:path?resistance=1k&resistance=2k", Link("calc", "path", {"resistance": "1k;2k"})),
        ("https://example.org/a", Link("https", "//example.org/a")),
        ("", Link("", "")),
    ],
    ids=[
        "entry", "blanks", "picture", "percent", "inputs", "no inputs", "decoded", "plus",
        "empty", "several", "web", "nothing",
    ],
)  # fmt: skip
def test_a_target_is_taken_apart(target: str, link: Link) -> None:
    """Scheme, name and values come out as they were meant."""
    assert read_link(target) == link


@QUICK
@given(st.text(max_size=60))
@example("calc:x?%")
@example("fault:%ff%00")
def test_any_target_is_read(target: str) -> None:
    """No text is an error as a link target."""
    assert isinstance(read_link(target), Link)


@pytest.mark.parametrize(
    ("body", "found"),
    [
        ("see [the rail](fault:low-rail)", [(1, 5, False, "the rail", "fault:low-rail")]),
        ("![points](points.svg)", [(1, 1, True, "points", "points.svg")]),
        ("a\n\n- [b](x:c) [d](x:e)", [(3, 3, False, "b", "x:c"), (3, 12, False, "d", "x:e")]),
        ("[a](  x:b  )", [(1, 1, False, "a", "x:b")]),
        ('[a](x:b "as shown")', [(1, 1, False, "a", "x:b")]),
        ("[a](<two words.svg>)", [(1, 1, False, "a", "two words.svg")]),
        ("[a\\]b](x:c)", [(1, 1, False, "a\\]b", "x:c")]),
        ("[](x:b)", [(1, 1, False, "", "x:b")]),
        ("[a]()", [(1, 1, False, "a", "")]),
    ],
    ids=["link", "picture", "two", "blanks", "title", "brackets", "escape", "no words", "empty"],
)
def test_a_link_is_found_with_its_place(
    body: str, found: list[tuple[int, int, bool, str, str]]
) -> None:
    """Line and column count from one, and point at the link's first sign."""
    assert list(links_in(body)) == found


@pytest.mark.parametrize(
    "body",
    [
        "```\n[a](x:b)\n```",
        "~~~ text\n[a](x:b)\n~~~",
        "````\n```\n[a](x:b)\n````",
        "```\n[a](x:b)",
        "write `[a](x:b)` so",
        "write ``a ` [a](x:b)`` so",
        "\\[a](x:b)",
        "[a] (x:b)",
        "[a][b]",
        "[a](x:b",
    ],
    ids=[
        "fence", "tildes", "fence in fence", "open fence", "code", "ticks", "escaped", "gap",
        "reference", "unclosed",
    ],
)  # fmt: skip
def test_what_is_no_link_is_passed_over(body: str) -> None:
    """Code and escaped brackets hold no links, as a reader of the page sees none."""
    assert list(links_in(body)) == []


@pytest.mark.parametrize(
    "body",
    ["```a``` and [a](x:b)", "` and [a](x:b)", "```\ncode\n```\n[a](x:b)", "\\`[a](x:b)`"],
    ids=["inline", "lone tick", "after a fence", "escaped tick"],
)
def test_a_link_beside_code_is_found(body: str) -> None:
    """Backticks that end, or begin no code, hide nothing after them."""
    assert [target for *_, target in links_in(body)] == ["x:b"]


def _as_rendered(body: str) -> list[str]:
    """Give the link targets that a CommonMark parser sees, pictures left out."""
    inline = MarkdownIt("commonmark").parseInline(body)[0].children or []
    return [str(token.attrs["href"]) for token in inline if token.type == "link_open"]


_pieces = st.sampled_from(
    ["[a](x:b)", "[c](x:d?e=f)", "`", "``", "\\", "[", "]", "(", ")", " ", "word", "\\["]
)


@QUICK
@given(st.lists(_pieces, max_size=8).map(lambda pieces: "x" + "".join(pieces)))
@example("x[[a](x:b)]")
@example("x`[a](x:b)")
@example("x[[]\\[a](x:b)")
@example(r"x`\`[a](x:b)`")
@example(r"x\``[a](x:b)`")
@example(r"x\\`[a](x:b)`")
def test_every_link_a_page_shows_is_found(body: str) -> None:
    """A CommonMark parser and this reader agree on plain links among brackets and code.

    Linked pictures, and targets that are made of signs by chance, are none of those.
    """
    found = [target for _, _, picture, _, target in links_in(body) if not picture]
    assert {"x:b", "x:d?e=f"}.intersection(_as_rendered(body)) <= set(found)


@pytest.mark.parametrize(
    "line",
    [
        "[a](" + " " * 500_000,
        "[a](" + "a" * 500_000,
        "\\[" * 250_000,
        "[a" * 250_000,
        "`x" * 250_000,
    ],
    ids=["blanks", "letters", "escapes", "openings", "ticks"],
)
def test_a_hostile_line_of_half_a_megabyte_is_read(line: str) -> None:
    """Lines made to send a reader in circles hold no link; a hang runs into the suite's limit."""
    assert list(links_in(line)) == []
