"""`fixbook write` without questions, its drafts, and what keeps a draft out of the book."""

from __future__ import annotations

import io
import json

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
        (("write", "--unit", "amp", "--sign", "low-drone never ever"), ""),
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
    if said:
        assert (ran.status, said in ran.err, "fault of the program" in ran.err) == (2, True, False)
    else:
        assert ran.status in (0, 1)


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
