"""Conflict marks, gaps, and two versions put into one text."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.proof_marks import both_texts, conflict_marks, gaps

MERGED = "a\n<<<<<<< HEAD\nmine\n=======\ntheirs\n>>>>>>> branch\nb\n<<<<<<< HEAD\n>>>>>>> x\n"


def test_each_conflict_is_reported_at_its_first_line():
    """The message says up to which line it goes."""
    found = conflict_marks("f.md", MERGED)
    assert [(one.rule, one.line, "line 6" in one.problem) for one in found] == [
        ("conflict", 2, True),
        ("conflict", 8, False),
    ]


def test_a_line_of_equal_signs_is_no_conflict():
    """A heading underlined the old way, or a quoted arrow, is text."""
    assert conflict_marks("f.md", "Title\n=======\n\n> quoted\n") == []


def test_gaps_of_fields_and_of_the_body_are_found_with_what_is_wanted():
    """A comment behind an empty field, and a remark in the body."""
    text = "---\nminutes:  # gap: how long\n---\n\n1. (gap: the steps)\n"
    found = [(one.line, one.column, one.problem) for one in gaps("f.md", text)]
    assert found == [(2, 11, "a gap: how long"), (5, 4, "a gap: the steps")]


lines = st.lists(st.sampled_from(["a", "b", "c", "d"]), max_size=12).map("\n".join)


@given(lines, lines)
def test_both_versions_can_be_taken_out_of_the_marked_text(theirs, mine):
    """Nothing of either text is lost; equal texts have no marks."""
    kept: dict[str, list[str]] = {"theirs": [], "mine": []}
    side = ""
    for line in both_texts(theirs, mine).splitlines():
        if line[:7] in ("<<<<<<<", "=======", ">>>>>>>"):
            side = {"<": "theirs", "=": "mine", ">": ""}[line[0]]
        else:
            for name in [side] if side else kept:
                kept[name].append(line)
    assert (kept["theirs"], kept["mine"]) == (theirs.splitlines(), mine.splitlines())
