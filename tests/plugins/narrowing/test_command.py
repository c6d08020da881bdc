"""`fixbook narrow` as it is used without a terminal: JSON, one step as text, and bad input."""

from __future__ import annotations

import json

import pytest


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """Give one cache for all tests here, so that the vocabulary is compiled once."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(autouse=True)
def cache(kept, monkeypatch):
    """Use that cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(kept))


UNIT = ("narrow", "--unit", "appliance")


def read(ran):
    """Give what a command printed as JSON."""
    assert ran.err == ""
    return json.loads(ran.out)


def test_json_has_the_promised_shape(fixbook):
    """Programs rely on it."""
    found = read(fixbook(*UNIT, "--sign", "motor-weak=not-seen", "--json"))
    assert list(found) == ["unit", "faults", "unlisted", "next", "stop"]
    assert [list(one) for one in found["faults"]] == [["id", "probability", "because"]] * 3
    assert list(found["next"][0]) == ["sign", "ask", "answers", "gain_bits", "minutes", "hazards"]


def test_json_chances_add_up_to_one_and_the_likeliest_comes_first(fixbook):
    """What is in the book and what is not, together."""
    found = read(fixbook(*UNIT, "--sign", "light-flickers=seen", "--json"))
    chances = [one["probability"] for one in found["faults"]]
    assert sum(chances) + found["unlisted"] == pytest.approx(1)
    assert (chances, found["faults"][0]["id"]) == (
        sorted(chances, reverse=True), "led-lamp-flickers",
    )  # fmt: skip


def test_at_the_stop_nothing_is_next(fixbook):
    """A fault that is likely enough ends it."""
    signs = ("--sign", "motor-sparks=seen", "--sign", "motor-weak=seen")
    found = read(fixbook(*UNIT, *signs, "--json"))
    assert (found["stop"], found["next"], found["faults"][0]["id"]) == (
        True, [], "brush-motor-sparks",
    )  # fmt: skip


def test_signs_in_the_words_are_asked_first_and_not_assumed(fixbook):
    """The chances are those from before."""
    plain = read(fixbook(*UNIT, "--json"))
    said = read(fixbook(*UNIT, "--json", "the", "display", "goes", "faint", "when", "it", "starts"))
    assert said["next"][0]["sign"] == "display-dims-when-relay-pulls"
    assert said["faults"] == plain["faults"]


def test_the_unit_is_found_in_the_words(fixbook):
    """Nobody says --unit at the counter."""
    assert (
        read(fixbook("narrow", "--json", "my", "record", "player", "hums"))["unit"] == "turntable"
    )


def test_a_unit_may_be_named_by_another_name(fixbook):
    """As in a search."""
    assert read(fixbook("narrow", "--json", "--unit", "Record Player"))["unit"] == "turntable"


def test_not_checked_is_not_asked_again(fixbook):
    """It changes no chance."""
    first = read(fixbook(*UNIT, "--json"))
    sign = first["next"][0]["sign"]
    found = read(fixbook(*UNIT, "--sign", f"{sign}=not-checked", "--json"))
    assert sign not in [one["sign"] for one in found["next"]]
    assert found["faults"] == first["faults"]


def test_without_a_terminal_one_step_is_shown_with_the_way_on(fixbook):
    """And every fault with the command that opens its sheet."""
    ran = fixbook(*UNIT, "--sign", "motor-weak=not-seen")
    wanted = (
        "Left over", "fixbook sheet led-lamp-flickers", "Next check", "What each answer would",
        "fixbook narrow --unit appliance --sign motor-weak=not-seen --sign ",
    )  # fmt: skip
    assert (ran.status, [one for one in wanted if one not in ran.out]) == (0, [])


def test_at_the_stop_the_sheet_to_open_is_named(fixbook):
    """The way out."""
    ran = fixbook(*UNIT, "--sign", "motor-sparks=seen", "--sign", "motor-weak=seen")
    assert "Open its sheet: fixbook sheet brush-motor-sparks" in " ".join(ran.out.split())


def test_a_dangerous_check_shows_its_caution_before_it_is_asked(fixbook):
    """And what is gained by it."""
    answers = read(fixbook("narrow", "--unit", "linear-supply", "--json"))
    signs: list[str] = []
    while not answers["next"][0]["hazards"]:
        signs += ["--sign", f"{answers['next'][0]['sign']}=not-checked"]
        answers = read(fixbook("narrow", "--unit", "linear-supply", *signs, "--json"))
    out = fixbook("narrow", "--unit", "linear-supply", *signs).out
    hazards = ("Cautions", "Next check", "It is dangerous; what is gained")
    assert [out.find(one) for one in hazards] == sorted(out.find(one) for one in hazards)
    assert -1 not in [out.find(one) for one in hazards]


@pytest.mark.parametrize(
    ("words", "why", "choices"),
    [
        (("--unit", "aplliance"), "there is no unit 'aplliance'", ["appliance"]),
        (("--sign", "motor-spark=seen"), "there is no sign 'motor-spark'", ["motor-sparks"]),
        (
            ("--sign", "motor-sparks=sean"),
            "has no answer 'sean'; did you mean seen?",
            ["seen", "not-seen", "not-checked"],
        ),
        (("--sign", "motor-sparks"), "needs an answer", ["seen", "not-seen", "not-checked"]),
    ],
    ids=["unit", "sign", "answer", "no answer"],
)
def test_what_is_none_is_refused_with_close_matches(fixbook, words, why, choices):
    """As an error that a program can read."""
    ran = fixbook("narrow", "--unit", "appliance", *words, "--json")
    error = json.loads(ran.out)["error"]
    assert (ran.status, why in error["why"]) == (2, True)
    assert error["choices"][: len(choices)] == choices


def test_two_answers_to_one_sign_are_refused(fixbook):
    """One of them is a slip."""
    ran = fixbook(*UNIT, "--sign", "motor-sparks=seen", "--sign", "motor-sparks=not-seen")
    assert (ran.status, "was given two answers" in ran.err) == (2, True)


def test_words_that_name_no_unit_are_refused_with_the_units(fixbook):
    """Which kind of apparatus it is cannot be guessed."""
    ran = fixbook("narrow", "it", "is", "broken", "--json")
    error = json.loads(ran.out)["error"]
    assert (ran.status, error["input"], "appliance" in error["choices"]) == (2, "--unit", True)


def test_a_unit_without_faults_is_an_answer(fixbook):
    """The answer is no: nothing to narrow down."""
    ran = fixbook("narrow", "--unit", "technique")
    assert (ran.status, "no write-up of a fault of this unit" in ran.out) == (1, True)


def test_a_unit_without_faults_is_empty_as_json(fixbook):
    """With the shape that it always has."""
    ran = fixbook("narrow", "--unit", "technique", "--json")
    assert (ran.status, json.loads(ran.out)) == (
        1,
        {"unit": "technique", "faults": [], "unlisted": 1.0, "next": [], "stop": True},
    )


def test_a_book_with_one_fault_narrows_down_all_the_same(fixbook, book):
    """It, or none of this book."""
    book.add("amp-one")
    ran = fixbook("narrow", "--unit", "amp")
    assert (ran.status, "With one fault alone" in ran.out) == (0, True)


def test_a_faulty_write_up_does_not_hide_the_others(fixbook, book):
    """It is left out, as everywhere."""
    book.add("amp-one")
    book.add("amp-two", text="---\nid: amp-two\nkind: fault\n")
    found = read(fixbook("narrow", "--unit", "test-amp", "--json"))
    assert [one["id"] for one in found["faults"]] == ["amp-one"]


def test_text_from_a_file_cannot_drive_the_terminal(fixbook, book):
    """Titles and questions are cleaned like everything else."""
    book.add("amp-one", title='"\\e[31mred"')
    ran = fixbook("narrow", "--unit", "test-amp")
    assert "\x1b" not in ran.out


EVIDENCE = """
from fixbook.api import *

@hook
def fixbook_evidence(bench, unit):
    return Counts({"amp-one": 30, "amp-two": 10, "amp-gone": 5})
"""


def test_the_shops_jobs_are_learnt_from(fixbook, book):
    """Through the hook that any plugin can serve; jobs of what is no write-up are left out."""
    book.add("amp-one")
    book.add("amp-two")
    plugins = book.folder / "plugins"
    plugins.mkdir()
    (plugins / "counted.py").write_text(EVIDENCE, encoding="utf-8")
    fixbook("book", "trust", "--yes")
    found = read(fixbook("narrow", "--unit", "test-amp", "--json"))
    assert [one["because"][0].split(":")[0] for one in found["faults"]] == [
        "common in the book, 30 of 40 jobs counted here",
        "common in the book, 10 of 40 jobs counted here",
    ]
    assert "5 counted jobs are left out" in " ".join(fixbook("narrow", "amp").out.split())


def test_a_job_that_is_none_is_refused(fixbook, book):
    """Nothing is narrowed down for it."""
    book.add("amp-one")
    ran = fixbook("narrow", "--job", "77")
    assert (ran.status, "77" in ran.err) == (2, True)


def test_a_job_says_its_unit_its_complaint_and_its_signs(fixbook, book):
    """What was recorded at intake is not asked again."""
    book.add("amp-one")
    new = ("job", "new", "--number", "7", "--unit", "test-amp", "--complaint", "drones")
    assert fixbook(*new, "--sign", "low-drone=seen").status == 0
    found = read(fixbook("narrow", "--job", "7", "--json"))
    because = found["faults"][0]["because"]
    assert (found["unit"], any("low-drone seen" in one for one in because)) == ("test-amp", True)
