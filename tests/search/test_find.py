"""What a search finds, and what it says about it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fixbook.core.query import Document, Filter, Findings, Request
from fixbook.search import Index


@pytest.fixture(params=[False, True], ids=["plain", "arrays"])
def ask(request: pytest.FixtureRequest, make: Callable[..., Index]) -> Callable[..., Findings]:
    """Search the small book."""
    index = make(fast=request.param)

    def search(words: str, *filters: Filter, limit: int = 10, typing: bool = False) -> Findings:
        return index.search(Request(words, filters, limit, typing))

    return search


def keys(found: Findings) -> list[str]:
    """Give the keys found, best first."""
    return [hit.key for hit in found.hits]


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("hum", "hum-reservoir"), ("drone", "hum-reservoir"), ("4700uF", "hum-reservoir"),
        ("4.7 mF", "hum-reservoir"), ("variable resistor", "will-not-start"),
        ("pot", "will-not-start"), ("back light", "will-not-start"),
        ("backlight", "will-not-start"), ("dead", "will-not-start"),
        ("won't turn on", "will-not-start"), ("tda1234b", "relay-contacts"),
        ("TDA 1234 B", "relay-contacts"), ("color", "relay-contacts"),
        ("-15V rail", "negative-rail"), ("b-e", "negative-rail"), ("AC", "negative-rail"),
        ("contacts", "relay-contacts"), ("tda1234", "relay-contacts"),
    ],
)  # fmt: skip
def test_found_first(ask: Callable[..., Findings], words: str, key: str) -> None:
    """However it is put, the write-up that is meant comes first."""
    assert keys(ask(words))[:1] == [key]


def test_one_way_words_do_not_work_backwards(ask: Callable[..., Findings]) -> None:
    """`dead` finds `will not turn on`; the reasons show nothing of it the other way."""
    assert not any("dead" in why for hit in ask("will not turn on").hits for why in hit.why)


def test_a_phrase_must_stand_as_it_is(ask: Callable[..., Findings]) -> None:
    """The same words in another order are not enough."""
    assert keys(ask('"turn on"')) == ["will-not-start"] and not ask('"on turn"').total


def test_left_out_words_leave_out(ask: Callable[..., Findings]) -> None:
    """A word with a minus takes its write-ups out of the result and its counts."""
    found = ask("rail -hum")
    assert (keys(found), found.facets["unit"]) == (["negative-rail"], (("supply", 1),))


def test_only_left_out_words_list_all_others(ask: Callable[..., Findings]) -> None:
    """Without anything to rank by, everything else is listed by key."""
    assert keys(ask("-hum")) == ["negative-rail", "relay-contacts", "will-not-start"]


def test_nothing_asked_lists_everything(ask: Callable[..., Findings]) -> None:
    """An empty request gives all, by key, with counts of all, and is not weak."""
    found = ask("", limit=2)
    assert (found.total, keys(found), found.weak) == (4, ["hum-reservoir", "negative-rail"], False)


@pytest.mark.parametrize(
    ("filters", "wanted"),
    [
        ([Filter("unit", frozenset({"amp"}))], {"relay-contacts", "will-not-start"}),
        ([Filter("unit", frozenset({"amp", "supply"})), Filter("hazard", frozenset({"mains"}))], {"hum-reservoir", "relay-contacts"}),
        ([Filter("model", frozenset({"A1", ""}))], {"hum-reservoir", "negative-rail", "relay-contacts", "will-not-start"}),
        ([Filter("model", frozenset({"A1"}))], {"will-not-start"}),
        ([Filter("unit", frozenset({"nowhere"}))], set()),
        ([Filter("nothing", frozenset({"x"}))], set()),
        ([Filter("nothing", frozenset({"x", ""}))], {"hum-reservoir", "negative-rail", "relay-contacts", "will-not-start"}),
    ],
    ids=["one", "two", "or none", "value", "unknown value", "unknown field", "no field"],
)  # fmt: skip
def test_filters(ask: Callable[..., Findings], filters: list[Filter], wanted: set[str]) -> None:
    """Any value of a filter is enough, every filter must pass."""
    assert set(keys(ask("", *filters))) == wanted


def test_counts_are_of_the_whole_result(ask: Callable[..., Findings]) -> None:
    """However few hits are shown, the counts are exact; most frequent first, then by name."""
    found = ask("", limit=1)
    assert found.facets == {
        "unit": (("amp", 2), ("supply", 2)),
        "hazard": (("mains", 2), ("stored-charge", 1)),
        "model": (("A1", 1), ("B2", 1)),
    }


def test_a_hit_says_why(ask: Callable[..., Findings]) -> None:
    """Each word names its part, and a synonym what it stood for."""
    (hit,) = ask("drone capacitor").hits
    assert hit.why == ("drone -> hum in title", "capacitor in body")


def test_a_phrase_is_among_the_reasons(ask: Callable[..., Findings]) -> None:
    """What was asked in quotation marks is said to have matched, and where."""
    (hit,) = ask('fuse "turn on"').hits
    assert hit.why == ("fuse in body", '"turn on" in title')


def test_weak_does_not_depend_on_how_much_is_shown(ask: Callable[..., Findings]) -> None:
    """However few hits are asked for, as many are looked at."""
    assert [ask("low hum", limit=n).weak for n in (0, 1, 10)] == [False] * 3


def test_a_hit_gives_back_what_is_shown(ask: Callable[..., Findings]) -> None:
    """The document's own plain values come back untouched."""
    assert ask("relay").hits[0].shown == {"id": "relay-contacts", "title": "One side drops out"}


def test_the_snippet_is_around_the_best_place(make: Callable[..., Index]) -> None:
    """Of a long body, the place where most words stand together is shown."""
    body = "hum here. " + "filler text. " * 200 + "The hum of the relay coil. " + "more. " * 200
    index = make([Document("k", "s", {"title": "x", "body": body})])
    snippet = index.search(Request("hum relay coil")).hits[0].snippet
    assert "The hum of the relay coil." in snippet and len(snippet) < 220


def test_the_snippet_fits_folded_text(make: Callable[..., Index]) -> None:
    """Signs that fold to more or fewer letters do not shift the place."""
    body = "Ω µF … é " * 300 + "the target relay is here. " + "µ " * 300
    index = make([Document("k", "s", {"body": body})])
    assert "target relay" in index.search(Request("target relay")).hits[0].snippet


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("capasitor", "capacitor"), ("contcat", "contact"), ("potentiomter", "potentiometer"),
        ("rellay", "relay"), ("freqency", "frequency"), ("djrty", "dirty"), ("ouptut", "output"),
    ],
)  # fmt: skip
def test_misspelt_words_are_mended(ask: Callable[..., Findings], typed: str, meant: str) -> None:
    """The answer says what was taken for what, and what was searched."""
    found = ask(f"hum {typed}")
    assert (found.mended, found.searched) == ({typed: meant}, f"hum {meant}")


@pytest.mark.parametrize("typed", ["tda1235b", "xyzzyqwv", "zzz", "2n3055"])
def test_nothing_far_is_taken_for_a_word(ask: Callable[..., Findings], typed: str) -> None:
    """A word like no other stays, and one with digits is never changed to another part."""
    assert not ask(f"hum {typed}").mended


def test_known_words_and_synonyms_are_not_mended(ask: Callable[..., Findings]) -> None:
    """`drone` stands in no write-up, but the vocabulary knows it."""
    assert not ask("drone pot rail").mended


def test_the_last_word_is_a_beginning_while_typing(ask: Callable[..., Findings]) -> None:
    """`capa` finds the capacitor, but only while it is typed."""
    assert keys(ask("capa", typing=True)) == ["hum-reservoir"]
    assert not keys(ask("capa "))


def test_nothing_found_is_weak(ask: Callable[..., Findings]) -> None:
    """No hit is no answer."""
    assert ask("xyzzyqwv").weak


def test_a_hit_on_a_side_word_alone_is_weak(ask: Callable[..., Findings]) -> None:
    """One common word of many unknown ones fits nothing."""
    assert ask("fine vintage violin bow rehairing lessons").weak


def test_a_question_about_something_else_is_weak(ask: Callable[..., Findings]) -> None:
    """Words that fit do not help where the question speaks of what the book does not treat."""
    assert ask("fuse blown").weak is False
    assert ask("fuse blown dog").weak


def test_a_word_of_elsewhere_counts_only_where_no_title_has_it(
    ask: Callable[..., Findings],
) -> None:
    """A book that treats a thing overrules the word list."""
    assert not ask("hum frequency steady dips").weak


@pytest.mark.parametrize("fast", [False, True], ids=["plain", "arrays"])
def test_the_parts_of_a_score_add_up_to_it(make: Callable[..., Index], fast: bool) -> None:
    """Worth times share of every word, synonym and phrase is the whole score."""
    index = make(fast=fast)
    found = index.search(Request('drone relay "low hum" twice pot', explain=True))
    for hit in found.hits:
        assert sum(gain.worth * gain.share for gain in hit.gains) == pytest.approx(hit.score)
    texts = {gain.text for gain in found.hits[0].gains}
    assert texts == {'"low hum"', "drone -> hum", "twice"}


def test_a_score_is_taken_apart_only_on_request(ask: Callable[..., Findings]) -> None:
    """Nothing is worked out that nobody asked for."""
    assert ask("hum").hits[0].gains == ()


def test_a_good_hit_is_not_weak(ask: Callable[..., Findings]) -> None:
    """Most of the words are there."""
    assert not ask("low hum from every output").weak
