"""What is believed before anything is looked at: the book's shares and words, the shop's counts."""

from __future__ import annotations

import pytest
from fixbook_plugins.narrowing.belief import believe
from fixbook_plugins.narrowing.model import faults_of
from fixbook_plugins.narrowing.reasons import disagreements, footing

from fixbook.api import Counts, Entry, Sign, Unit, Vocabulary

from .conftest import fault


def test_shares_stand_four_to_two_to_one(make):
    """The words common, occasional and rare have the weights that the book states."""
    model = make(fault("a"), fault("b", "occasional"), fault("c", "rare"))
    assert model.prior[:3] == pytest.approx([4 / 8, 2 / 8, 1 / 8])


def test_not_in_this_book_has_a_tenth_of_the_weight_of_what_is(make):
    """There is always something that nobody has written up."""
    assert make(*map(fault, "abcd")).prior[-1] == pytest.approx(0.1 / 1.1)


def test_a_book_with_one_write_up_of_a_unit_is_not_sure_of_it(make):
    """Not in this book has at least the weight of a rare fault."""
    assert make(fault("a")).prior == pytest.approx((4 / 5, 1 / 5))


def test_the_shops_jobs_are_added_to_the_shares(make):
    """A job counts for as much as a quarter of a common fault's share."""
    counts = Counts({"a": 6}, {}, 2)
    assert make(fault("a"), fault("b"), counts=counts).prior == pytest.approx(
        [10 / 17, 4 / 17, 3 / 17]
    )


def test_a_fault_never_seen_here_keeps_a_chance(make):
    """A thousand jobs of another fault do not make it impossible."""
    model = make(fault("a"), fault("b", "rare"), counts=Counts({"a": 1000}))
    assert 0.0005 < model.prior[1] < 0.002


def test_the_books_word_about_a_sign_stands_for_ten_jobs(make):
    """Ten jobs that say the opposite bring it half way."""
    counts = Counts({"a": 10}, {"a": {"hum": {"not-seen": 10}}})
    model = make(fault("a", hum="always"), fault("b"), counts=counts)
    assert model.questions["hum"].row("seen")[0] == pytest.approx(0.98 / 2)


def test_a_sign_that_an_entry_leaves_out_has_its_background_rate(make):
    """Saying nothing about a sign is saying that it is as usual."""
    model = make(fault("a", hum="always"), fault("b"))
    assert model.questions["hum"].row("seen") == pytest.approx((0.98, 0.1, 0.1))


def test_unnamed_answers_share_what_the_named_ones_leave(make):
    """By their background rates: low 0.2 and none 0.7."""
    model = make(fault("a", tone={"high": "usually"}), fault("b"))
    column = [row[0] for row in model.questions["tone"].table]
    assert column == pytest.approx([0.2 * 2 / 9, 0.8, 0.2 * 7 / 9])


def test_a_background_of_nothing_leaves_the_answer_possible(make, words):
    """What is said never to happen can still be seen, and narrowing goes on."""
    never = Sign("glow", "Does it glow?", {"seen": 0.0, "not-seen": 1.0}, 1.0)
    model = make(
        fault("a", glow="always"),
        fault("b"),
        words=words._replace(signs={**words.signs, "glow": never}),
    )
    assert believe(model, {"glow": "seen"}).chances[0] > 0.99


def test_a_fault_with_neither_share_nor_signs_takes_part(make):
    """What is left out of a file has a usual value."""
    bare = Entry("bare", "fault", "Bare", "amp", share="")
    assert make(fault("a"), bare).prior[1] == pytest.approx(2 / 7)


def test_a_sign_that_the_vocabulary_does_not_have_is_left_out(make):
    """A misspelt sign in a write-up costs that sign alone."""
    assert "bogus" not in make(fault("a", bogus="always", hum="always")).questions


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        (Counts({"gone": 3}), "3 counted jobs are left out"),
        (Counts({}, {"capacitor": {"bogus": {"seen": 2}}}), "bogus"),
        (Counts({}, {"capacitor": {"hum": {"loud": 2}}}), "hum=loud"),
    ],
    ids=["fault", "sign", "answer"],
)
def test_counts_that_the_book_knows_nothing_of_are_left_out_and_said(make, counts, said):
    """A renamed fault or sign in the shop's history is no traceback."""
    model = make(counts=counts)
    assert (model.prior, said in " ".join(model.notes)) == (make().prior, True)


def test_counts_below_nothing_are_taken_for_nothing(make):
    """A plugin that counts wrongly cannot make a chance negative."""
    counts = Counts({"capacitor": -9}, {"capacitor": {"hum": {"seen": -9}}}, -9)
    assert make(counts=counts).prior == make().prior


def test_counts_far_from_the_books_word_are_said(make):
    """The shop should know that its jobs contradict the book."""
    counts = Counts({"capacitor": 8}, {"capacitor": {"hum": {"seen": 1, "not-seen": 7}}})
    assert disagreements(make(counts=counts)) == [
        "capacitor: hum seen in 1 of 8 jobs here; the book says 98 %."
    ]


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        (Counts(), "the chances are the book's"),
        (Counts({"capacitor": 3}), "still lean on the book"),
        (Counts({"capacitor": 300}), "300 jobs"),
    ],
    ids=["none", "few", "many"],
)
def test_it_is_said_what_the_chances_lean_on(make, counts, said):
    """With few jobs the answer is the book's, and says so."""
    assert said in footing(make(counts=counts))


def test_faults_are_those_of_the_unit_and_what_it_contains():
    """Techniques, withdrawn write-ups and other units' faults stay out."""
    units = {
        "amp": Unit("amp", "amplifier", contains=("supply",)),
        "supply": Unit("supply", "supply"),
        "radio": Unit("radio", "radio"),
    }
    entries = [
        Entry("z-own", "fault", "", "amp"),
        Entry("inner", "fault", "", "supply"),
        Entry("other", "fault", "", "radio"),
        Entry("how", "technique", "", "amp"),
        Entry("old", "fault", "", "amp", state="withdrawn"),
    ]
    found = faults_of(entries, Vocabulary(units), "amp")
    assert [one.id for one in found] == ["z-own", "inner"]
