"""A text laid out a sentence a line says, as CommonMark, what it said before."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fixbook.core.prose import WIDTH, prose_lines, sentences
from fixbook.store.body import parser

words = st.sampled_from(
    "The relay - + 1. 2) # > clicks. Then it opens! Why? *not* `code` [a](b) === --- 4k7 A".split()
)
paragraphs = st.lists(words, min_size=1, max_size=60).map(" ".join)


@given(paragraphs)
@example("- # It opens! The relay")
@example("> 1. # It opens! The relay")
def test_line_breaks_change_nothing_that_is_shown(text):
    """Rendered, the laid-out text differs from the plain one by breaks of lines alone."""
    render = parser().render
    assert render(prose_lines(text)).split() == render(" ".join(text.split())).split()


@given(paragraphs)
def test_lines_are_short(text):
    """No line is longer than it must be for its words."""
    longest = max(len(line) for line in prose_lines(text).split("\n"))
    assert longest <= WIDTH + 40


def test_each_sentence_begins_a_line():
    """Two people who change two sentences change two lines."""
    assert prose_lines("It hums. Always! Even off?") == "It hums.\nAlways!\nEven off?"


@pytest.mark.parametrize(
    ("text", "lines"),
    [("Unplugged it. Cleaned it.\nFitted it.", 3), ("Approx. 3 V at 1.5 A.", 2), ("", 0)],
)
def test_sentences_are_told_apart(text, lines):
    """What was done becomes steps."""
    assert len(sentences(text).splitlines()) == lines
