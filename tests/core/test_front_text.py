"""Mending front matter in place: comments and everything that is not meant stay as they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.front_text import add_item, in_order, same_values, set_field
from fixbook.core.page import FIELD_ORDER
from fixbook.store.document import compose

TEXT = """\
# about this file
id: amp-hum  # the name
kind: fault

# what it says
title: "Hums: a lot"
signs:
  hum: always  # it does
see: [one, two]  # both
revised: 2026-11-25
# the end
"""


def front_of(text):
    """Read front matter as it stands in a file."""
    front, problems = compose(text, "made-up.md", first_line=2)
    assert not problems
    return front


@pytest.mark.parametrize(
    ("name", "value", "old", "new"),
    [
        ("id", "amp-drone", "id: amp-hum  # the name", "id: amp-drone  # the name"),
        ("title", "Hums", 'title: "Hums: a lot"', "title: Hums"),
        ("state", "withdrawn", "revised:", "state: withdrawn\nrevised:"),
        ("unit", "amp", "signs:", "unit: amp\nsigns:"),
    ],
    ids=["in its place", "quoted", "new, in order", "new, in the middle"],
)
def test_one_field_is_changed_and_nothing_else(name, value, old, new):
    """The rest of the text is byte for byte what it was."""
    assert set_field(TEXT, front_of(TEXT), name, value) == TEXT.replace(old, new)


def test_an_item_is_added_to_a_list_that_is_not_there():
    """The field is made in its place."""
    done = add_item(TEXT, front_of(TEXT), "aliases", "amp-old")
    assert done == TEXT.replace("revised:", "aliases: [amp-old]\nrevised:")


def test_an_item_is_added_to_a_list_of_lines():
    """A list with an item a line gets a line more, so that two additions merge."""
    text = "id: amp-hum\naliases:\n  - amp-old  # first\n"
    done = add_item(text, front_of(text), "aliases", "amp-older")
    assert done == text + "  - amp-older\n"


def test_an_item_is_added_to_a_list_in_brackets():
    """What stood in it stands before the new one."""
    done = add_item(TEXT, front_of(TEXT), "see", "three")
    assert "see: [one, two, three]" in done


def test_fields_come_into_order_with_their_comments():
    """A field moves with the comment above it; the last comment of all stays last."""
    text = "# when\nrevised: 2026-11-25\nid: amp-hum\nodd: stays\n# what\nkind: fault\n# end\n"
    done = in_order(text, front_of(text))
    assert done == (
        "id: amp-hum\nodd: stays\n# what\nkind: fault\n# when\nrevised: 2026-11-25\n# end\n"
    )


@given(st.permutations(FIELD_ORDER[:9]), st.sets(st.sampled_from(FIELD_ORDER[:9]), min_size=1))
def test_any_order_becomes_the_order(mixed, kept):
    """Whatever the order was, the fields end in the book's order and say the same."""
    text = "".join(f"# {name}\n{name}: about {name}\n" for name in mixed if name in kept)
    done = in_order(text, front_of(text))
    assert list(front_of(done).keys) == [name for name in FIELD_ORDER if name in kept]
    assert same_values(front_of(done), front_of(text))


def test_a_layout_that_cannot_be_moved_safely_is_left_alone():
    """A mapping in braces on one line is not taken apart."""
    text = "{revised: 2026-11-25, id: amp-hum}\n"
    assert in_order(text, front_of(text)) is None


def test_windows_line_ends_stay():
    """A file with carriage returns keeps them on the lines that are not changed."""
    text = "kind: fault\r\nid: amp-hum\r\n"
    assert in_order(text, front_of(text)) == "id: amp-hum\r\nkind: fault\r\n"
