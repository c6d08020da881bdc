"""`fixbook proof --fix` and the forms of its answer; faults between write-ups."""

from __future__ import annotations

import json
import os

import pytest

UNTIDY = """\
---
# the name
id: amp-one
revised: 2026-11-25
kind: fault
title: One side drops out
unit: test-amp
signs: {low-drone: always}
targets:
  - name: contact resistance
    at: across the closed contact, power off
    reads: ohms
    window: 0 .. 100 mohms  # from the card
---

## Step by step

1. Unplug it.
"""
TIDY = UNTIDY.replace("revised: 2026-11-25\n", "").replace("mohms", "mohm").replace(
    "card\n---", "card\nrevised: 2026-11-25\n---"
)  # fmt: skip


@pytest.fixture
def untidy(book):
    """Give a write-up with its fields out of order and a unit spelt another way."""
    return book.add("amp-one", text=UNTIDY)


def test_what_can_be_mended_is_reported_with_how(untidy, fixbook):
    """The message names the option that mends it."""
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["rule"], row["line"], "--fix" in row["do"]) for row in rows] == [
        ("field-order", 5, True),
        ("unit-spelling", 13, True),
    ]


def test_the_difference_is_shown_and_nothing_written_without_a_yes(untidy, fixbook):
    """Without a terminal nobody said yes."""
    ran = fixbook("proof", "--fix")
    assert (ran.status, untidy.read_text(), "+    window: 0 .. 100 mohm " in ran.out) == (
        1, UNTIDY, True,
    )  # fmt: skip


def test_yes_mends_and_leaves_the_rest(untidy, fixbook):
    """Order and spelling change; comments and every other byte stay."""
    assert (fixbook("proof", "--fix", "--yes").status, untidy.read_text()) == (0, TIDY)


@pytest.mark.parametrize("how", ["crlf", "mark", "mode", "link"])
def test_mending_keeps_what_the_file_was(how, untidy, fixbook, tmp_path):
    """Line ends, a byte-order mark, permissions and a symbolic link stay."""
    data = UNTIDY.encode()
    if how == "crlf":
        data = UNTIDY.replace("\n", "\r\n").encode()
    elif how == "mark":
        data = b"\xef\xbb\xbf" + data
    untidy.write_bytes(data)
    if how == "mode":
        untidy.chmod(0o640)
    if how == "link":
        untidy.rename(untidy.with_name("real.txt"))
        untidy.symlink_to("real.txt")
    assert fixbook("proof", "--fix", "--yes").status == 0
    wanted = {"crlf": TIDY.replace("\n", "\r\n").encode(), "mark": b"\xef\xbb\xbf" + TIDY.encode()}
    assert untidy.read_bytes() == wanted.get(how, TIDY.encode())
    if how == "mode":
        assert untidy.stat().st_mode & 0o777 == 0o640
    if how == "link":
        assert untidy.is_symlink()


def test_a_file_with_conflict_marks_is_not_mended(untidy, fixbook):
    """Two people's lines are for a person to choose from."""
    text = UNTIDY + "<<<<<<< HEAD\na\n=======\nb\n>>>>>>> other\n"
    untidy.write_text(text)
    assert (fixbook("proof", "--fix", "--yes").status, untidy.read_text()) == (1, text)


def test_the_editor_form_is_one_whole_line_for_each_fault(untidy, fixbook):
    """GNU's form of error messages, with a path that is found from anywhere."""
    first = fixbook("proof", "--editor").out.split("\n")[0]
    assert first.startswith(f"{os.path.abspath(untidy)}:5:1: error: ")
    assert first.endswith("[field-order]")


def test_conflict_marks_in_front_matter_are_said_once(book, fixbook):
    """The YAML that they break is not complained about as well."""
    book.add("amp-one", text=UNTIDY.replace(
        "kind: fault\n", "<<<<<<< HEAD\nkind: fault\n=======\nkind: technique\n>>>>>>> x\n"))  # fmt: skip
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["rule"], row["line"]) for row in rows] == [("conflict", 5)]


def test_two_copies_of_an_id_after_a_merge_are_reported(book, fixbook):
    """The second names the first, at its id."""
    book.add("amp-one")
    copy = book.folder / "entries/test-supply/amp-one.md"
    copy.parent.mkdir()
    copy.write_text((book.folder / "entries/test-amp/amp-one.md").read_text())
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    found = [row for row in rows if row["rule"] == "repeated-id"]
    assert [(row["file"][-23:], row["line"]) for row in found] == [
        ("test-supply/amp-one.md", 2)
    ] or (found[0]["line"] == 2 and "test-amp/amp-one.md" in found[0]["problem"])


def test_two_faults_that_no_sign_tells_apart_are_reported(book, fixbook):
    """The later of the two is pointed at, with the other's file."""
    book.add("amp-one")
    book.add("amp-two", body="\n## Step by step\n\n1. Unplug it.\n")
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["rule"], "amp-one" in row["problem"]) for row in rows] == [("untold", True)]


def test_a_near_duplicate_is_reported_with_how_much(book, fixbook):
    """A write-up copied and forgotten is pointed out."""
    book.add("amp-one")
    book.add("amp-two")
    rules = {row["rule"] for row in json.loads(fixbook("proof", "--json").out)["problems"]}
    assert "near-duplicate" in rules


@pytest.mark.parametrize(
    ("target", "why"),
    [
        ("../pictures/none.svg", "is not there"),
        ("../../fixbook.toml", "leads out"),
        ("../pictures/big.svg", "bytes"),
        ("../pictures/a%00b.svg", "is not there"),
    ],
)
def test_a_picture_that_cannot_be_shown_is_reported(target, why, book, fixbook):
    """Missing, outside the book, too large, or of a name that no file has."""
    pictures = book.folder / "entries/pictures"
    pictures.mkdir()
    (pictures / "big.svg").write_bytes(b"x" * 1_100_000)
    book.add("amp-one", body=f"\n## Step by step\n\n1. Unplug it.\n\n![A relay]({target})\n")
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["rule"], why in row["problem"]) for row in rows] == [("picture", True)]


def test_a_sign_that_nobody_could_answer_is_reported_where_it_is_defined(book, fixbook):
    """A sign whose question is none, in the file of words."""
    words = book.folder / "entries/vocabulary/more.yaml"
    words.write_text("signs:\n  odd-thing:\n    ask: odd\n    background: {seen: 0.1}\n")
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["rule"], row["line"]) for row in rows] == [("sign-untold", 2)]


def test_a_part_under_its_rail_is_reported_by_the_derating_rule(book, fixbook):
    """A 25 V electrolytic on a 24 V rail is within its rating and outside the rule."""
    targets = (
        "\n  - name: supply rail\n    at: across C4, idle\n    reads: dc\n    window: 22 .. 24 V"
    )
    parts = "\n  - at: C4\n    is: aluminium electrolytic\n    value: 100 uF\n    volts: "
    head, _, body = UNTIDY.partition("---\n\n")
    front = "id: amp-one\nkind: fault\ntitle: T\nunit: test-amp\nsigns: {low-drone: always}\n"
    said = {}
    for volts in ("25 V", "50 V"):
        book.add(
            "amp-one", text=f"---\n{front}targets:{targets}\nparts:{parts}{volts}\n---\n\n{body}"
        )
        rows = json.loads(fixbook("proof", "--json").out)["problems"]
        said[volts] = [(row["rule"], row["line"]) for row in rows]
    assert head and said == {"25 V": [("rating", 16)], "50 V": []}
