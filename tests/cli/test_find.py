"""`fixbook find`: options, statuses, JSON, and words of any kind."""

from __future__ import annotations

import json

import pytest

ALL = {"amp-hum", "amp-silent", "supply-low", "deck-blind", "relay-cleaning"}


@pytest.fixture
def ids(shelf, fixbook):
    """Give the ids that a search finds: `ids("hum", "--unit", "test-amp")`."""

    def search(*words: str) -> set[str]:
        found = fixbook("find", "--json", "--limit", "50", *words)
        assert found.err == ""
        return {hit["id"] for hit in json.loads(found.out)["hits"]}

    return search


OPTIONS = {
    "unit": (("--unit", "tape-player"), {"deck-blind"}),
    "unit with what it contains": (
        ("--unit", "test-amp"),
        {"amp-hum", "amp-silent", "supply-low"},
    ),
    "unit by its name": (("--unit", "Tape Player"), {"deck-blind"}),
    "unit by another name": (("--unit", "deck"), {"deck-blind"}),
    "two units are either": (
        ("--unit", "tape-player", "--unit", "test-supply"),
        {"deck-blind", "supply-low"},
    ),
    "section": (("--section", "servo"), {"deck-blind"}),
    "two sections are either": (
        ("--section", "servo", "--section", "supply"),
        {"deck-blind", "amp-hum"},
    ),
    "kind": (("--kind", "technique"), {"relay-cleaning"}),
    "two kinds are either": (("--kind", "technique", "--kind", "fault"), ALL),
    "hazard": (("--hazard", "laser"), {"deck-blind"}),
    "two hazards are both": (("--hazard", "laser", "--hazard", "mains"), {"deck-blind"}),
    "skill": (("--skill", "surface-mount"), {"deck-blind"}),
    "skill in words": (("--skill", "Surface Mount"), {"deck-blind"}),
    "state": (("--state", "bench-proven"), {"deck-blind"}),
    "model, and those for any": (("--model", "dp7"), ALL - {"amp-hum"}),
    "sign that is shown often": (("--sign", "low-drone"), {"amp-hum"}),
    "several options are all": (("--unit", "test-amp", "--hazard", "mains"),
                                {"amp-hum", "supply-low"}),
    "an equals sign": (("--unit=tape-player",), {"deck-blind"}),
    "options and words": (("rail", "--hazard", "mains"), {"supply-low"}),
    "options before words": (("--hazard", "mains", "rail"), {"supply-low"}),
    "no words and no options": ((), ALL),
}  # fmt: skip


@pytest.mark.parametrize(("words", "wanted"), OPTIONS.values(), ids=OPTIONS)
def test_an_option_narrows_the_result(words, wanted, ids):
    """Each facet narrows; several values of one mean either, save for hazards and signs."""
    assert ids(*words) == wanted


UNKNOWN = {
    "unit": ("tape-plaier", ["tape-player"]),
    "kind": ("fult", ["fault"]),
    "hazard": ("lazer", ["laser"]),
    "skill": ("surface-mont", ["surface-mount"]),
    "state": ("writen", ["written"]),
    "sign": ("low-dron", ["low-drone"]),
}


@pytest.mark.parametrize(("option", "typed", "near"), [(k, *v) for k, v in UNKNOWN.items()],
                         ids=list(UNKNOWN))  # fmt: skip
def test_an_unknown_value_is_an_error_with_close_matches(option, typed, near, shelf, fixbook):
    """A misspelt value is status 2, names the option, what was read, and what is near."""
    ran = fixbook("find", "hum", f"--{option}", typed, "--json")
    error = json.loads(ran.out)["error"]
    assert (ran.status, error["input"], error["read"]) == (2, f"--{option}", typed)
    assert error["choices"][0] in near


def test_the_error_reads_as_a_sentence(shelf, fixbook):
    """Without JSON the error is one line on the error stream and nothing else."""
    ran = fixbook("find", "--hazard", "lazer")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == "fixbook: there is no hazard 'lazer'; did you mean laser?\n"


def test_an_unknown_section_finds_nothing_and_says_what_is_near(shelf, fixbook):
    """Sections are free text: a strange one is no error, but the answer tells the near ones."""
    ran = fixbook("find", "--section", "servos")
    assert (ran.status, "did you mean servo?" in ran.out) == (1, True)


def test_a_misspelt_option_is_named_with_its_neighbour(shelf, fixbook):
    """Two minuses are an option, never a word left out in silence."""
    ran = fixbook("find", "hum", "--hazzard", "mains")
    assert (ran.status, "there is no option --hazzard; did you mean --hazard?" in ran.err) == (
        2,
        True,
    )


def test_an_option_without_its_value_says_so(shelf, fixbook):
    """An option at the end of the line is told by name."""
    ran = fixbook("find", "hum", "--unit")
    assert (ran.status, "--unit" in ran.err) == (2, True)


@pytest.mark.parametrize("typed", ["0", "-1", "1001", "ten", "", "²", "٣", "9" * 5000, "1.5", "1e2"],
                         ids=lambda typed: typed[:6] or "empty")  # fmt: skip
def test_a_wrong_limit_is_refused(typed, shelf, fixbook):
    """How many to show is a whole number from 1 to 1000."""
    ran = fixbook("find", "hum", f"--limit={typed}")
    assert (ran.status, "--limit is a number from 1 to 1000" in ran.err) == (2, True)


def test_limit_shortens_the_list_and_not_the_counts(shelf, fixbook):
    """Counts are of the whole result, however few are shown."""
    found = json.loads(fixbook("find", "--limit", "1", "--json").out)
    assert (len(found["hits"]), found["total"]) == (1, 5)
    assert sum(count for _, count in found["facets"]["unit"]) == 5


def test_the_shape_of_the_json(shelf, fixbook):
    """The keys that scripts rely on, and the type of each value."""
    found = json.loads(fixbook("find", "hum", "--json").out)
    assert list(found) == [
        "query", "searched", "mended", "weak", "total", "hits", "facets", "notes",
    ]  # fmt: skip
    shape = {name: type(value) for name, value in found.items()}
    assert shape == {
        "query": str, "searched": str, "mended": dict, "weak": bool, "total": int,
        "hits": list, "facets": dict, "notes": list,
    }  # fmt: skip


def test_the_shape_of_a_hit(shelf, fixbook):
    """A hit says what it is, how good, why, and shows the place."""
    (hit,) = json.loads(fixbook("find", "hums", "--json").out)["hits"]
    assert {name: type(value) for name, value in hit.items()} == {
        "id": str, "kind": str, "title": str, "unit": str, "section": str, "state": str,
        "score": float, "why": list, "snippet": str,
    }  # fmt: skip
    assert (hit["id"], hit["unit"], hit["section"]) == ("amp-hum", "test-amp", "supply")
    assert all(isinstance(reason, str) for reason in hit["why"])


def test_facets_are_pairs_of_value_and_count(shelf, fixbook):
    """Every facet is there, most frequent value first, with exact counts."""
    facets = json.loads(fixbook("find", "--json").out)["facets"]
    names = ["unit", "section", "kind", "hazard", "skill", "state", "model", "sign"]
    assert list(facets)[: len(names)] == names
    assert facets["kind"] == [["fault", 4], ["technique", 1]]
    assert facets["hazard"] == [["mains", 3], ["laser", 1]]


def test_nothing_found_has_the_same_shape(shelf, fixbook):
    """A script reads an empty answer as it reads a full one; the status is 1."""
    ran = fixbook("find", '"no such phrase anywhere"', "--json")
    found = json.loads(ran.out)
    assert (ran.status, found["total"], found["hits"]) == (1, 0, [])
    assert found["facets"]["unit"] == []


def test_a_misspelt_word_is_mended_and_said(shelf, fixbook):
    """The answer tells which word was taken in another's place."""
    found = json.loads(fixbook("find", "pickpu", "--json").out)
    assert (found["mended"], found["hits"][0]["id"]) == ({"pickpu": "pickup"}, "deck-blind")


def test_a_quoted_phrase_is_a_phrase(ids):
    """Words in quotes must stand together, in order."""
    assert (ids('"side is silent"'), ids('"silent is side"')) == ({"amp-silent"}, set())


def test_a_minus_before_a_letter_leaves_a_word_out(ids):
    """Without --, as typed."""
    assert ids("contact", "rail", "-low") == {"relay-cleaning"}


def test_a_minus_before_a_quote_leaves_a_phrase_out(ids):
    """A whole phrase can be left out."""
    assert ids("contact", "rail", '-"rail is low"') == {"relay-cleaning"}


def test_a_minus_before_a_digit_is_part_of_the_value(ids):
    """`-15V rail` is looked for, not left out."""
    assert ids("-15V", "rail") == {"supply-low"}


def test_two_minuses_alone_end_the_options(ids):
    """After -- everything is a word."""
    assert ids("--", "rail") == {"supply-low"}


STRANGE = {
    "quote left open": ['"rail is low'],
    "quote in the middle": ['ra"il'],
    "AND": ["rail AND low"],
    "OR": ["rail OR low"],
    "NOT": ["rail NOT low"],
    "TO": ["[a TO b]"],
    "brackets": ["((rail", "[low]", "{x}"],
    "slashes": ["/rail/", "a/b\\c", "//"],
    "field look-alike": ["title:rail", "unit:"],
    "stars": ["ra*", "*", "?", "r?il"],
    "tilde and caret": ["rail~2", "rail^4"],
    "plus": ["+rail", "rail+"],
    "only minus": ["-"],
    "only quotes": ['""', '"'],
    "only signs": ["!@#$%^&()", "..."],
    "control characters": ["\x1b[2J\x07\x00rail"],
    "direction marks": ["\u202erail\u2066"],
    "half a pair": ["\udcffrail"],
    "emoji": ["🔧❤️"],
    "other scripts": ["電源 питание"],
    "empty": [""],
    "blanks": [" ", "\t\n"],
    "10,000 words": ["rail " * 10_000],
    "10,000 other words": [" ".join(f"w{n}" for n in range(10_000))],
    "one long word": ["x" * 100_000],
    "private use": ["\ue000rail"],
    "JSON": ['{"a": [1]}'],
    "percent": ["%s %d %(a)s"],
    "minus and minus": ["-rail", "-low", "-x"],
}


@pytest.mark.parametrize("words", STRANGE.values(), ids=STRANGE)
def test_no_words_are_an_error(words, shelf, fixbook):
    """Whatever is typed is searched for as plain words: found or not found, never an error."""
    ran = fixbook("find", "--json", *words)
    assert (ran.status in (0, 1), ran.err) == (True, "")
    assert json.loads(ran.out)["query"] == " ".join(words)


@pytest.mark.parametrize("words", STRANGE.values(), ids=STRANGE)
def test_strange_words_print_nothing_strange(words, shelf, fixbook):
    """The answer on a terminal holds no control character of the question."""
    ran = fixbook("find", *words)
    assert (ran.status in (0, 1), ran.err) == (True, "")
    assert not {letter for letter in ran.out if ord(letter) < 32 and letter != "\n"}


@pytest.mark.parametrize("words", [["rail AND low"], ["(rail)"], ["title:rail"], ['"rail is low']],
                         ids=["AND", "brackets", "field", "open quote"])  # fmt: skip
def test_signs_around_a_word_do_not_hide_it(words, ids):
    """The plain words of a strange question still find."""
    assert "supply-low" in ids(*words)


@pytest.mark.parametrize("typed", ["???", "(*&^%$"])
def test_signs_without_a_word_are_told(typed, shelf, fixbook):
    """The whole book is listed, but not as if nothing had been typed."""
    assert f"no word to search was found in '{typed}'" in fixbook("find", typed).out


def test_an_unknown_word_of_a_short_list_is_told_the_list(shelf, fixbook):
    """Where nothing is near, the hazards there are; of signs, the command that lists them."""
    assert "; one of laser, mains" in fixbook("find", "--hazard", "radiation").err
    asked = ("job", "new", "--unit", "test-amp", "--complaint", "x", "--sign")
    assert "did you mean low-drone?" in fixbook(*asked, "drones=seen").err


def test_too_many_words_are_told(shelf, fixbook):
    """When only a part was searched, the answer says so."""
    found = json.loads(fixbook("find", "rail " * 10_000, "--json").out)
    assert any("only the first" in note for note in found["notes"])


def test_an_empty_book_finds_nothing(book, fixbook):
    """Nothing to find is no fault."""
    ran = fixbook("find", "hum")
    assert (ran.status, "Nothing found" in ran.out, ran.err) == (1, True, "")


def test_a_vocabulary_alone_is_no_fault(write, fixbook):
    """A book with words and no write-ups answers too."""
    assert fixbook("find", "--hazard", "mains").status == 1


def test_help_names_every_option(fixbook):
    """`find --help` lists the facets, and is no search."""
    with pytest.raises(SystemExit) as ended:
        fixbook("find", "--help")
    assert ended.value.code == 0


def test_a_withdrawn_write_up_is_marked(shelf, fixbook):
    """A hit that should not be followed says so in the list."""
    assert "withdrawn" in fixbook("find", "silent").out


def test_the_answer_is_the_same_twice(shelf, fixbook):
    """A search changes nothing: asked again, it gives the same answer to the byte."""
    first = fixbook("find", "hum rail", "--json").out
    assert fixbook("find", "hum rail", "--json").out == first


def test_explained_gains_add_up_to_the_score(shelf, fixbook):
    """`--explain --json` has the parts of each hit's score, which a search without it leaves out."""
    (hit, *_) = json.loads(fixbook("find", "hum", "--json", "--explain").out)["hits"]
    total = sum(gain["worth"] * gain["share"] for gain in hit["gains"])
    assert total == pytest.approx(hit["score"], abs=1e-5)
    assert "gains" not in json.loads(fixbook("find", "hum", "--json").out)["hits"][0]
