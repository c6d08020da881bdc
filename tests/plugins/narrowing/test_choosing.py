"""Which check next, when it stops, and what an answer does."""

from __future__ import annotations

from itertools import permutations

import pytest
from fixbook_plugins.narrowing.belief import believe
from fixbook_plugins.narrowing.case import Case, path_text, stand
from fixbook_plugins.narrowing.choosing import gains, is_sure, next_checks
from fixbook_plugins.narrowing.complaint import Proposal
from fixbook_plugins.narrowing.model import build_model
from fixbook_plugins.narrowing.reasons import because, unfit_answers
from hypothesis import given
from hypothesis import strategies as st

from fixbook.api import Vocabulary

from .conftest import FAULTS, SIGNS, fault, sign


def offered(model, **answers):
    """Give the signs that are offered after answers."""
    return [check.question.id for check in next_checks(believe(model, answers))]


def test_the_order_of_answers_does_not_matter(model):
    """Six ways of telling the same end at the same chances, bit for bit."""
    answers = {"hum": "seen", "sag": "not-seen", "ripple": "seen"}
    beliefs = {believe(model, dict(one)).chances for one in permutations(answers.items())}
    assert len(beliefs) == 1


def test_not_checked_changes_nothing_and_is_not_asked_again(model):
    """What could not be checked tells nothing."""
    belief = believe(model, {"hum": "not-checked"})
    asked = [check.question.id for check in gains(belief)]
    assert (belief.chances, "hum" in asked) == (believe(model, {}).chances, False)


def test_of_signs_that_say_the_same_only_the_more_telling_counts(model):
    """Ripple and sag are one thing seen twice."""
    both = believe(model, {"ripple": "seen", "sag": "seen"})
    assert both.chances == believe(model, {"ripple": "seen"}).chances


def test_a_weaker_sign_that_says_the_same_tells_nothing_more(model):
    """Once the ripple is known there is no need to look for the sag."""
    told = {one.question.id: one.gain for one in gains(believe(model, {"ripple": "seen"}))}
    assert told["sag"] == 0


def test_a_stronger_sign_that_says_the_same_is_still_worth_looking_at(model):
    """It takes the place of the weaker one."""
    told = {one.question.id: one.gain for one in gains(believe(model, {"sag": "not-seen"}))}
    assert told["ripple"] > 0.05


def test_a_dangerous_check_waits_while_a_safe_one_tells_enough(model):
    """Mains is measured only where nothing harmless helps."""
    assert {"ripple", "sag"} & set(offered(model)) == set()


def test_a_dangerous_check_is_offered_when_no_safe_one_tells_enough(make, words):
    """And then it is offered, with what is gained by it."""
    model = make(fault("a", ripple="always"), fault("b"))
    assert offered(model) == ["ripple"]


def test_a_question_to_the_customer_comes_before_a_check_that_is_a_little_better(make, words):
    """Asking costs the unit nothing."""
    signs = {
        "asked": sign("asked", customer=True, minutes=1.0),
        "looked": sign("looked", minutes=0.8),
    }
    made = make(
        *(fault(n, asked="always" if n in "ab" else "never",
                looked="always" if n in "ac" else "never") for n in "abcd"),
        words=Vocabulary(signs=signs),
    )  # fmt: skip
    assert offered(made) == ["asked", "looked"]


def test_it_stops_when_one_fault_is_likely_enough(model):
    """At nine tenths the sheet is opened."""
    belief = believe(model, {"hum": "seen", "ripple": "seen", "tone": "low"})
    assert (is_sure(belief), next_checks(belief)) == (True, [])


def test_it_stops_when_nothing_tells_anything(make):
    """Two faults that no sign tells apart are both left, and said so."""
    model = make(fault("a"), fault("b"))
    standing = stand(Case(model))
    assert (standing.stop, standing.sure) == (True, False)


def test_one_fault_alone_is_held_against_none_of_this_book(make):
    """There is something to ask even then."""
    assert offered(make(fault("a", hum="always"))) == ["hum"]


def test_no_faults_at_all_is_a_stop(words):
    """Nothing to narrow down is no traceback."""
    standing = stand(Case(build_model("amp", [], words)))
    assert (standing.stop, standing.belief.unlisted) == (True, 1.0)


def test_answers_against_every_fault_raise_not_in_this_book(make):
    """And it is said which answers fit least."""
    model = make(*(fault(n, hum="always", crackle="always") for n in "ab"))
    belief = believe(model, {"hum": "not-seen", "crackle": "not-seen"})
    assert belief.unlisted > 0.9
    assert unfit_answers(belief) == [
        "No fault of this book fits well; what fits least: crackle not seen, hum not seen."
    ]


def test_an_answer_that_does_not_fit_the_likeliest_fault_is_named(make):
    """Something may have been misread."""
    model = make(
        fault("a", hum="always", crackle="always", dust="always"), fault("b", dust="rarely")
    )
    belief = believe(model, {"hum": "seen", "crackle": "seen", "dust": "not-seen"})
    assert unfit_answers(belief) == ["dust not seen does not fit a: 2 % of such units."]


def test_reasons_say_what_speaks_for_a_fault_and_what_against(model):
    """Each with the rates it rests on."""
    belief = believe(model, {"hum": "seen", "crackle": "seen"})
    lines = because(belief, 0)
    assert lines[0].startswith("common in the book, no jobs here")
    assert any(line.startswith("hum seen: speaks for it (98 % with it") for line in lines)
    assert any(line.startswith("crackle seen: does not fit (10 % with it") for line in lines)


def test_signs_of_the_complaint_are_asked_first_but_not_a_dangerous_one(model):
    """A proposal never undoes the rule of safety."""
    proposals = (Proposal("ripple", "it ripples", 1.0), Proposal("dust", "dusty", 1.0))
    checks = stand(Case(model, (), proposals)).checks
    assert (checks[0].question.id, "ripple" in {one.question.id for one in checks}) == (
        "dust", False,
    )  # fmt: skip


def test_a_step_back_takes_the_last_answer_away(model):
    """And leaves the others."""
    case = Case(model).with_answer("hum", "seen").with_answer("dust", "not-checked")
    assert case.back().answers == (("hum", "seen"),)


def test_the_path_is_a_line_for_a_note(model):
    """What was not checked is no part of it."""
    case = Case(model).with_answer("hum", "seen").with_answer("dust", "not-checked")
    text = path_text(case)
    assert text.startswith("Narrowed down (amp): hum=seen. Left: capacitor ")
    assert "dust" not in text


answers = st.fixed_dictionaries(
    {}, optional={one.id: st.sampled_from([*one.answers, "not-checked"]) for one in SIGNS}
)


@given(answers)
def test_whatever_is_answered_the_rules_hold(given_answers):
    """Chances add up, what is offered is open and safe first, and a stop is a stop."""
    words = Vocabulary(signs={one.id: one for one in SIGNS})
    belief = believe(build_model("amp", FAULTS, words), given_answers)
    checks = next_checks(belief)
    assert sum(belief.chances) == pytest.approx(1)
    assert not {check.question.id for check in checks} & set(given_answers)
    safe = [one for one in gains(belief) if not one.hazards and one.gain >= 0.05]
    assert not (safe and any(check.hazards for check in checks))
    assert all(check.gain >= 0.02 for check in checks)
    assert not (is_sure(belief) and checks)
