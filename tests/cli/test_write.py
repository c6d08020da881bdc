"""`fixbook write` without questions, its drafts, and what keeps a draft out of the book."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

WHOLE = {
    "unit": "test-amp",
    "title": "One side drops out",
    "section": "output",
    "signs": {"low-drone": "always"},
    "hazards": ["mains"],
    "skill": "through-hole",
    "minutes": 30,
    "tools": ["multimeter"],
    "targets": [
        {"name": "contact resistance", "at": "across the contact, unplugged", "reads": "ohms",
         "window": "0 .. 100 mohm"}
    ],
    "parts": [{"at": "RL1", "is": "relay", "value": "24 V coil"}],
    "seen": "the quibble speaker goes away",
    "found": "The contact is oxidised.",
    "done": ["Unplug it.", "Clean the contact."],
    "proved": "Ten minutes loud, both sides alike.",
}  # fmt: skip


@pytest.fixture
def whole(tmp_path):
    """Give a file with all answers; `whole(hazards=None)` changes some."""

    def make(**changes: object) -> str:
        path = tmp_path / "notes.json"
        path.write_text(json.dumps({**WHOLE, **changes}), encoding="utf-8")
        return str(path)

    return make


def text_of(book, id: str) -> str:
    """Give the text of a write-up of the book."""
    return (book.folder / f"entries/test-amp/{id}.md").read_text(encoding="utf-8")


def test_a_file_of_answers_becomes_a_write_up_that_is_found(book, whole, fixbook):
    """It is filed without a fault, proofs clean and is the first hit for the customer's words."""
    ran = fixbook("write", "amp-drops", "--from", whole())
    found = json.loads(fixbook("find", "quibble", "speaker", "--json").out)
    assert (ran.status, fixbook("proof").status, found["hits"][0]["id"]) == (0, 0, "amp-drops")


def test_json_says_where_it_is_and_under_what_it_is_found(book, whole, fixbook):
    """The shape that other programs read."""
    said = json.loads(fixbook("write", "amp-drops", "--from", whole(), "--json").out)
    assert (said["id"], said["filed"], said["problems"], said["found_under"]["place"]) == (
        "amp-drops", True, [], 1,
    )  # fmt: skip


def test_answers_come_from_a_pipe_as_well(book, fixbook, monkeypatch):
    """`--from -` reads the standard input, and an id is made of unit and title."""
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(WHOLE)))
    said = json.loads(fixbook("write", "--from", "-", "--json").out)
    assert said["id"] == "amp-one-side-drops-out"


def test_options_answer_the_same_questions(book, fixbook):
    """Signs, targets and parts are typed as at the prompt."""
    fixbook(
        "write", "amp-drops", "--unit", "amp", "--title", "One side drops out", "--seen", "it fades",
        "--sign", "low-drone always", "--hazards", "mains", "--part", "relay; 24 V coil; RL1",
        "--target", "contact resistance; across the contact, unplugged; 0 .. 100 mohm",
    )  # fmt: skip
    text = text_of(book, "amp-drops")
    assert all(
        line in text
        for line in ("unit: test-amp", "  low-drone: always", "    reads: ohms", "  - at: RL1")
    )


AMP = ("--unit", "amp", "--title", "One side drops out", "--hazards", "mains")


def test_a_sign_that_nobody_knows_is_kept_and_reported(book, fixbook):
    """What was typed stands in the file, beside the sign that is known, and a near one is named."""
    ran = fixbook("write", "amp-drops", *AMP, "--sign", "low-dron: rarely", "--sign", "low-drone")
    text = text_of(book, "amp-drops")
    assert ("  low-dron: rarely\n" in text, "  low-drone: usually\n" in text) == (True, True)
    assert "'low-dron' is no sign that is known; did you mean low-drone?" in ran.out


def test_the_signs_of_the_help_are_signs(fixbook):
    """Whoever copies an example gets a write-up with that sign."""
    from fixbook.cli.write import EXAMPLES, FLAGS

    shown = re.findall(r"'([a-z-]+): (?:always|usually)", EXAMPLES + FLAGS["signs"])
    words = json.loads(fixbook("proof", "--words", "signs", "--json").out)["words"]["signs"]
    assert len(shown) == 2
    assert set(shown) <= {one["word"] for one in words}


LOST = {
    "words and signs": ("--seen", "it fades", "--sign", "goes when I look", "it fades", "when I look"),
    "a list said twice": ("--tools", "multimeter", "--tools", "iron", "multimeter", "iron"),
    "a text said twice": ("--found", "Oxide.", "--found", "Grease.", "Oxide.", "Grease."),
    "one sign, two answers": (
        "--sign", "low-drone: seen usually", "--sign", "low-drone: not-seen rarely",
        "seen: usually", "not-seen: rarely",
    ),
    "one target, two places": (
        "--target", "rail; across C1, idle; 5 .. 6 V", "--target", "rail; across C2, idle; 8 .. 9 V",
        "5 .. 6 V", "8 .. 9 V",
    ),
}  # fmt: skip


@pytest.mark.parametrize("words", LOST.values(), ids=LOST)
def test_nothing_that_is_typed_is_dropped(words, book, fixbook):
    """Two answers to one question both stand in the file."""
    *typed, one, other = words
    fixbook("write", "amp-drops", *AMP, *typed)
    text = text_of(book, "amp-drops")
    assert (one in text, other in text) == (True, True)


@pytest.mark.parametrize(
    "words",
    [("--title", "a", "--title", "b"), ("--sign", "low-drone: always", "--sign", "low-drone: never"),
     ("--rename", "amp-one", "amp-two", "--title", "a"), ("--by", "amp-two", "--title", "a"),
     ("--discard", "--title", "a"), ("--from", "twice.json")],
)  # fmt: skip
def test_options_that_cannot_both_hold_are_refused(words, book, fixbook):
    """Rather than one of them being taken in silence; of a file's fields alike."""
    Path("twice.json").write_text('{"tools": ["a"], "tools": ["b"]}')
    assert fixbook("write", *words).status == 2


def test_answers_are_added_to_a_draft(book, fixbook):
    """What a draft holds already stays when more is said of it."""
    fixbook("write", "amp-drops", "--unit", "amp", "--title", "One side drops out")
    fixbook("write", "amp-drops", "--hazards", "mains", "--minutes", "20")
    text = text_of(book, "amp-drops")
    assert ("title: One side drops out" in text, "minutes: 20" in text) == (True, True)


def test_a_draft_written_on_by_hand_is_not_written_over(book, fixbook):
    """Answers could only replace its text, so they are refused."""
    fixbook("write", "amp-drops", "--unit", "amp", "--title", "One side drops out")
    draft = book.folder / "drafts/amp-drops.md"
    draft.write_text(draft.read_text() + "\nBy hand.\n")
    ran = fixbook("write", "amp-drops", "--hazards", "mains")
    assert (ran.status, "By hand." in draft.read_text()) == (2, True)


def test_what_keeps_a_write_up_out_is_told_from_what_does_not(book, whole, fixbook):
    """Each fault stands under its heading, and in JSON says whether it holds."""
    ran = fixbook("write", "amp-drops", "--from", whole(hazards="", minutes=""))
    must, may = ran.out.split("May be mended later\n")
    assert ("Must be mended" in must, "what can hurt" in must, "how long" in may) == (True,) * 3
    rows = json.loads(fixbook("write", "amp-drops", "--json").out)["problems"]
    assert [row["holds"] for row in rows] == [True, False]


def test_a_draft_without_a_title_shows_what_proofing_shows(book, fixbook):
    """A write-up that cannot be used yet hides none of its other faults."""
    told = json.loads(fixbook("write", "amp-drops", "--hazards", "mains", "--json").out)["problems"]
    proofed = json.loads(fixbook("proof", str(book.folder / "drafts"), "--json").out)["problems"]
    assert [(row["line"], row["rule"]) for row in told] == [(r["line"], r["rule"]) for r in proofed]
    assert {row["problem"].split(" ")[0] for row in told if row["rule"] == "missing-field"} == {
        "title", "unit"
    }  # fmt: skip


@pytest.mark.parametrize("variable", ["VISUAL", "EDITOR"])
def test_an_editor_that_is_none_is_told_by_the_variable_that_names_it(variable, monkeypatch):
    """Whoever set one of two variables is told to mend that one, in plain words."""
    from fixbook.cli.session import Session
    from fixbook.cli.writing import edit
    from fixbook.errors import BookError

    monkeypatch.setenv(variable, "/nowhere/editor")
    monkeypatch.setattr(Session, "can_ask", True)
    with pytest.raises(BookError, match=f"named by {variable}, .* no such program"):
        edit(Path("/book/drafts/amp-one.md"), Session())


def test_what_is_skipped_comes_back_as_a_gap(book, whole, fixbook):
    """Each gap is listed with what is wanted, and the write-up is found all the same."""
    ran = fixbook("write", "amp-drops", "--from", whole(minutes="", proved=""), "--json")
    rows = json.loads(ran.out)["problems"]
    assert [(row["rule"], row["problem"].split(":")[0]) for row in rows] == [("gap", "a gap")] * 2


def test_a_write_up_without_a_word_on_hazards_stays_a_draft(book, whole, fixbook):
    """Nobody has said what can hurt: it is kept, not filed, and the answer is no."""
    ran = fixbook("write", "amp-drops", "--from", whole(hazards=""))
    assert (ran.status, (book.folder / "drafts/amp-drops.md").exists(), "what can hurt" in ran.out) == (
        1, True, True,
    )  # fmt: skip
    assert not (book.folder / "entries/test-amp/amp-drops.md").exists()


def test_a_draft_is_gone_on_with_once_it_is_mended(book, whole, fixbook):
    """After the gap is filled in the draft, the same command files it."""
    fixbook("write", "amp-drops", "--from", whole(hazards=""))
    draft = book.folder / "drafts/amp-drops.md"
    text = draft.read_text()
    line = next(one for one in text.split("\n") if one.startswith("hazards:"))
    draft.write_text(text.replace(line, "hazards: [mains]"))
    ran = fixbook("write", "amp-drops")
    assert (ran.status, draft.exists(), "hazards: [mains]" in text_of(book, "amp-drops")) == (
        0, False, True,
    )  # fmt: skip


def test_drafts_are_listed_and_thrown_away(book, whole, fixbook):
    """What is begun is in sight, and goes when it is told to."""
    fixbook("write", "amp-drops", "--from", whole(hazards=""))
    listed = json.loads(fixbook("write", "--drafts", "--json").out)["drafts"]
    fixbook("write", "amp-drops", "--discard")
    left = json.loads(fixbook("write", "--drafts", "--json").out)["drafts"]
    assert (listed, left) == ([{"key": "amp-drops", "title": "One side drops out"}], [])


def test_like_takes_over_what_is_not_its_own(book, fixbook):
    """Signs, hazards and the opening come along; what was found and measured does not."""
    book.add("amp-one")
    fixbook("write", "amp-two", "--like", "amp-one", "--title", "Another fault")
    text = text_of(book, "amp-two")
    assert ("low-drone: always" in text, "do: swing the board out" in text, "RL1" in text) == (
        True, True, False,
    )  # fmt: skip


def test_near_write_ups_are_named(book, whole, fixbook):
    """Before a second one is kept, the first is shown."""
    book.add("amp-one", title="One side drops out until it is loud")
    said = json.loads(fixbook("write", "amp-two", "--from", whole(), "--json").out)
    assert [one["id"] for one in said["near"]] == ["amp-one"]


def test_a_file_that_changed_meanwhile_is_not_overwritten(book, fixbook):
    """Both versions are kept, the difference is shown, and the next step is said."""
    path = book.add("amp-one")
    before = path.read_text()
    draft = book.folder / "drafts/amp-one.md"
    keep(fixbook, book, "amp-one", before.replace("Fault amp-one", "Mine"))
    path.write_text(before.replace("Fault amp-one", "Theirs"))
    ran = fixbook("write", "amp-one")
    assert "<<<<<<< on disk" in draft.read_text()
    assert ("Theirs" in path.read_text(), "Mine" in draft.read_text(), ran.status) == (
        True,
        True,
        1,
    )
    assert ("-title: Theirs" in ran.out, "+title: Mine" in ran.out) == (True, True)


def keep(fixbook, book, id: str, text: str) -> None:
    """Open a write-up as a draft and change the draft, as an editor left half way does."""
    from fixbook.app.folders import user_folders
    from fixbook.app.library import Library
    from fixbook.app.writing import Desk
    from fixbook.settings import Place

    desk = Desk(Library(Place(book.folder, "test"), user_folders()))
    desk.drafts.keep_text(desk.open_entry(id), text)


def test_a_change_between_the_editor_and_the_writing_is_seen(book, fixbook, monkeypatch):
    """Nothing is written over what somebody else wrote while the editor was open."""
    path = book.add("amp-one")
    keep(fixbook, book, "amp-one", path.read_text().replace("Fault amp-one", "Mine"))

    from fixbook.app import writing

    monkeypatch.setattr(writing.Desk, "catch_up", lambda self, key: [])
    path.write_text(path.read_text().replace("Fault amp-one", "Theirs"))
    ran = fixbook("write", "amp-one")
    assert (ran.status, "Theirs" in path.read_text(), "+title: Mine" in ran.out) == (2, True, True)
    assert "Mine" in (book.folder / "drafts/amp-one.md").read_text()


def test_a_changed_id_is_for_rename(book, fixbook):
    """Links would break, so the draft waits, and the right command is named."""
    path = book.add("amp-one")
    keep(fixbook, book, "amp-one", path.read_text().replace("id: amp-one", "id: amp-new"))
    ran = fixbook("write", "amp-one")
    assert (ran.status, "--rename amp-one amp-new" in ran.out) == (1, True)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("write", "--unit", "test-amq"), "did you mean test-amp"),
        (
            ("write", "--unit", "amp", "--sign", "low-drone never ever"),
            "'ever' does not say how often",
        ),
        (("write", "--unit", "amp", "--target", "x; y; 9 .. 3 V"), "9 .. 3 V"),
        (("write", "--minutes", "an hour"), "whole number"),
        (("write", "Amp One", "--unit", "amp"), "is no id"),
        (("write", "con", "--unit", "amp"), "device"),
        (("write", "--like", "amp-none", "--unit", "amp"), "no write-up"),
        (("write", "--from-job", "77", "--unit", "amp"), "77"),
        (("write", "--from", "/nowhere.json"), "cannot be read"),
        (("write",), "no terminal"),
        (("write", "--rename", "amp-none", "amp-new"), "no write-up"),
        (("write", "none-such", "--discard"), "no draft"),
    ],
)
def test_what_cannot_be_used_is_said(words, said, book, fixbook):
    """Each refusal says what was wrong, on the error stream, with status 2."""
    ran = fixbook(*words)
    assert (ran.status, said in ran.err, "fault of the program" in ran.err) == (2, True, False)


@pytest.mark.parametrize(
    "data", ["[]", "3", '{"unt": "amp"}', '{"unit": {"a": {"b": {"c": {"d": {"e": 1}}}}}}', "{", "",
             '{"targets": [{"name": "x"}]}', '{"hazards": "mains"}', '{"title": "\\u0000\\u202e"}',
             '{"id": "../../etc"}'],
)  # fmt: skip
def test_hostile_answers_are_refused_or_kept_as_a_draft(data, book, fixbook, tmp_path):
    """No answer breaks the program, and nothing is written outside the book's folders."""
    path = tmp_path / "odd.json"
    path.write_text(data)
    ran = fixbook("write", "--from", str(path))
    assert ran.status in (1, 2)
    assert "fault of the program" not in ran.err
    assert not list((book.folder / "entries").rglob("*.md"))


def test_without_a_book_of_ones_own_the_way_to_one_is_said(fixbook):
    """The starter book is nobody's to write in."""
    ran = fixbook("write", "--unit", "amp")
    assert (ran.status, "fixbook book new" in ran.err) == (2, True)
