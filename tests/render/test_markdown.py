"""CommonMark on a terminal: every shape has its lines, and no shape breaks the layout."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.render.lines import text_of, width_of
from fixbook.render.markdown import markdown_lines

SHAPES = {
    "heading": ("# Look", ["Look"]),
    "underlined heading": ("Look\n====", ["Look"]),
    "paragraph": ("one\ntwo", ["one two"]),
    "two paragraphs": ("one\n\ntwo", ["one", "", "two"]),
    "hard break": ("one  \ntwo", ["one", "two"]),
    "backslash break": ("one\\\ntwo", ["one", "two"]),
    "emphasis": ("a *b* **c** `d`", ["a b c d"]),
    "bullets": ("- one\n- two", ["- one", "- two"]),
    "numbers": ("1. one\n2. two", ["1. one", "2. two"]),
    "numbers from three": ("3. one\n4. two", ["3. one", "4. two"]),
    "nested list": ("- one\n  - two\n- three", ["- one", "", "  - two", "- three"]),
    "list of paragraphs": ("- one\n\n  two", ["- one", "", "  two"]),
    "quote": ("> one\n>\n> two", ["| one", "| ", "| two"]),
    "fence": ("```\na  b\n\nc\n```", ["    a  b", "    ", "    c"]),
    "indented code": ("    a  b", ["    a  b"]),
    "unclosed fence": ("```\na", ["    a"]),
    "rule": ("---", ["-" * 20]),
    "link": ("see [the relay](fault:amp-one) now", ["see the relay now"]),
    "reference link": ("see [the relay]\n\n[the relay]: fault:amp-one", ["see the relay"]),
    "autolink": ("<https://example.invalid/a>", ["https://example.invalid/a"]),
    "picture": ("![pins of RL1](../pictures/a.svg)", ["[picture: pins of RL1]"]),
    "table": ("| at | what |\n|-|-|\n| RL1 | relay |", ["at   what", "RL1  relay"]),
    "entities": ("&lt;5 &Omega; &#35;", ["<5 Ω #"]),
    "escapes": ("\\*not\\*", ["*not*"]),
    "HTML stays text": ("<script>x</script>", ["<script>x</script>"]),
    "HTML inside": ("a <b>c</b>", ["a <b>c</b>"]),
    "empty": ("", []),
    "blank": (" \n\n ", []),
    "empty bullet": ("-\n- two", ["- two"]),
}


@pytest.mark.parametrize(("text", "lines"), SHAPES.values(), ids=SHAPES)
def test_each_shape_has_its_lines(text, lines):
    """What a reader sees of each CommonMark shape."""
    assert [text_of(line).rstrip() or "" for line in markdown_lines(text, 60)] == [
        line.rstrip() for line in lines
    ]


PIECES = (
    "word another", "# ", "- ", "1. ", "9999. ", "> ", "    ", "\t", "```", "~~~", "---", "|", "*",
    "**", "`", "[", "](", ")", "![", "<", ">", "&amp;", "\\", "\n", "\n\n", "  \n", "電源", "e\u0301",
    "=", "x" * 90, "| a | b |\n|-|-|\n| c | d |", "[a]: b\n", "\x1b[2J", "\u202e", "\0",
)  # fmt: skip
DOCUMENTS = st.lists(st.sampled_from(PIECES), max_size=40).map("".join)


def is_code(text: str) -> bool:
    """Say whether a line is code, which is never broken, behind whatever marks."""
    return "    " in text


@settings(max_examples=150, deadline=None)
@given(DOCUMENTS | st.text(max_size=200), st.integers(40, 200))
def test_no_document_exceeds_the_width(text, width):
    """Lines that are not code keep to the width, whatever the document and however it nests."""
    lines = [text_of(line) for line in markdown_lines(text, width)]
    assert [line for line in lines if width_of(line) > width and not is_code(line)] == []


@pytest.mark.parametrize("mark", ["- ", "> ", "1. ", "999999999. ", ">- ", "- > 1. "])
@pytest.mark.parametrize("depth", [5, 14])
def test_deep_nesting_still_shows_the_words(mark, depth):
    """Lists and quotes nested past any reading lose their marks before they lose their words."""
    lines = [text_of(line) for line in markdown_lines(mark * depth + "relay", 40)]
    assert [line for line in lines if width_of(line) > 40 and not is_code(line)] == []
    assert "relay" in " ".join(lines)


def test_absurd_nesting_is_no_fault():
    """Thousands of nested quotes end in a sheet, not in an error."""
    assert markdown_lines("> " * 5000 + "relay", 40) is not None


def test_code_is_never_broken():
    """A command or a drawing in code keeps its lines, however long."""
    code = "x" * 150
    assert text_of(markdown_lines(f"```\n{code}\n```", 40)[0]) == f"    {code}"


def test_headings_are_styled_as_headings():
    """A heading is told from the text by its style."""
    assert markdown_lines("## Look", 40) == [[("heading", "Look")]]
