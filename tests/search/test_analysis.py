"""What text is found under: words, part numbers, values, signs of the trade."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.search.analysis import Analyser


def terms(text: str) -> set[str]:
    """Give every term of a text."""
    return {term for slot in Analyser().slots(text) for term in slot}


def first(text: str) -> list[str]:
    """Give the first term of each slot."""
    return [slot[0] for slot in Analyser().slots(text)]


@pytest.mark.parametrize(
    "written",
    ["33uF", "33 µF", "33 μF", "33u", "33 MFD", "33MFD", "33 mfd", "0.033 mF", "33000n", "33 uf"],
)
def test_one_capacitance_is_one_term_however_written(written: str) -> None:
    """Signs, prefixes, blanks and old abbreviations of a capacitance meet in one term."""
    assert first(written) == first("33uF")


@pytest.mark.parametrize(
    ("written", "same"),
    [
        ("4k7", "4.7 kΩ"), ("4,700 ohm", "4.7k"), ("0R22", "0.22 ohm"), ("R47", "470 mohm"),
        ("4u7", "4.7 µF"), ("5V1", "5.1 V"), ("24V", "24 volts"), ("1M", "1 Mohm"),
        ("1 Meg", "1 Mohm"), ("50 Hz", "50 cps"), ("105C", "105 °C"), ("1.5 A", "1500 mA"),
        ("±5 %", "5%"), ("10 MHz", "10000 kHz"),
    ],
)  # fmt: skip
def test_values_meet(written: str, same: str) -> None:
    """Two spellings of one value share a term."""
    assert terms(written) & terms(same)


@pytest.mark.parametrize(
    ("one", "other"),
    [("33uF", "33nF"), ("4k7", "47k"), ("5 V", "5 A"), ("1M", "1k"), ("100 mohm", "100 Mohm")],
)
def test_different_values_stay_apart(one: str, other: str) -> None:
    """Values of another size or kind share nothing."""
    assert not terms(one) & terms(other)


def test_a_negative_voltage_is_found_by_its_size_as_well() -> None:
    """`-15V` has a term of its own and that of 15 V."""
    assert len(terms("-15V") - terms("15 V")) == 1


@pytest.mark.parametrize("written", ["TDA-1234B", "tda1234b", "TDA/1234B", "TDA.1234.B"])
def test_a_part_number_is_found_with_and_without_its_signs(written: str) -> None:
    """Hyphens, slashes and dots in a part number make no difference."""
    assert "tda1234b" in terms(written)


@pytest.mark.parametrize("text", ["2N3055", "1N4148", "LM317T", "4N25"])
def test_part_numbers_that_look_like_values_keep_their_own_term(text: str) -> None:
    """A transistor is not read as a capacitance alone."""
    assert text.lower() in terms(text)


@pytest.mark.parametrize(
    "text", ["not on", "no off", "5 V", "A/C", "b-e", "will not turn on", "x y z"]
)
def test_nothing_is_dropped(text: str) -> None:
    """Small words, single letters and short values keep a term each."""
    assert all(slot for slot in Analyser().slots(text)) and Analyser().slots(text)


def test_joined_letters_do_not_turn_into_a_verb() -> None:
    """`b-e` has a term that the verb "be" does not share."""
    assert "b-e" in terms("b-e") and "b-e" not in terms("to be")


@pytest.mark.parametrize("text", ["won't turn", "wont turn", "won’t turn"])
def test_contractions_hold_a_not(text: str) -> None:
    """The negation is found however it is shortened."""
    assert first(text) == ["will", "not", "turn"]


def test_compounds_meet_joined_and_hyphenated() -> None:
    """`back-light` is found as `backlight` and as its two words."""
    assert {"backlight", "back", "light"} <= terms("back-light")


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("réglage", "reglage"),
        ("ﬁlm", "film"),
        ("１２", "12"),
        ("ＤＣ", "dc"),
        ("Übertrager", "ubertrager"),
    ],
)
def test_look_alikes_and_accents_are_folded(written: str, plain: str) -> None:
    """Accents, ligatures and wide letters are found as plain ones."""
    assert terms(written) == terms(plain)


def test_inflected_words_share_their_stem() -> None:
    """Singular and plural, present and past meet."""
    assert first("capacitors humming blown") == first("capacitor hum blown")


@given(st.text())
def test_any_text_has_terms_that_can_be_indexed(text: str) -> None:
    """No text breaks the analysis; no term is empty or too long."""
    assert all(0 < len(term) <= 80 for slot in Analyser().slots(text) for term in slot)


@given(st.lists(st.sampled_from(["33", "4.7", "µF", "V", "hum", "-15V", "(5", "A/C", "k"])))
def test_each_blank_separated_piece_gives_one_chunk(pieces: list[str]) -> None:
    """Places in the text can be counted by pieces, numbers with their units included."""
    chunks = list(Analyser().chunks(" ".join(pieces).replace("µ", "u")))
    assert len(chunks) - len(pieces) in (0, 1)
