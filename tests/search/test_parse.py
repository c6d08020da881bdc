"""What a query asks for; nothing that is typed is an error."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.search.analysis import Analyser
from fixbook.search.parse import MOST_WORDS, Query, read_query


def read(text: str) -> Query:
    """Read a query."""
    return read_query(text, Analyser())


def words(text: str) -> list[str]:
    """Give the plain words of a query."""
    return [word.text for word in read(text).words]


def test_quoted_words_are_a_phrase() -> None:
    """Quotation marks of any shape make a phrase, and no plain words."""
    query = read("no “turn on” fuse")
    assert [p.text for p in query.phrases] == ["turn on"] and words("x “turn on”") == ["x"]


def test_a_minus_before_a_letter_leaves_out() -> None:
    """The word is left out of the plain words and asked to be absent."""
    query = read("hum -fuse")
    assert [p.text for p in query.left_out] == ["fuse"] and words("hum -fuse") == ["hum"]


def test_a_minus_before_a_digit_belongs_to_the_value() -> None:
    """`-15V` is a value."""
    query = read("-15V rail")
    assert not query.left_out and words("-15V rail") == ["-15v", "15v", "rail"]


def test_a_minus_before_a_phrase_leaves_it_out() -> None:
    """A phrase can be left out as well."""
    assert [p.text for p in read('hum -"turn on"').left_out] == ["turn on"]


def test_a_hyphen_inside_a_word_leaves_nothing_out() -> None:
    """Only a minus at the beginning of a word counts."""
    assert not read("back-light turn - on").left_out


@pytest.mark.parametrize(
    "text",
    ["hum AND fuse", "hum OR (fuse)", "NOT hum fuse", "hum/fuse", "title:hum fuse", 'hum "fuse', "[hum] {fuse} ~2 ^3 * ?"],
)  # fmt: skip
def test_signs_of_query_languages_are_plain_text(text: str) -> None:
    """The words are searched, whatever stands around them."""
    assert {"hum", "fuse"} <= set(words(text))


def test_ten_thousand_words_are_cut_and_said_so() -> None:
    """Only so many words are searched, and a note tells."""
    query = read(" ".join(f"word{n}" for n in range(10_000)))
    assert len(query.words) == MOST_WORDS and query.notes


@given(st.text())
def test_no_text_is_an_error(text: str) -> None:
    """Reading any text gives a query."""
    assert read(text).words is not None
