"""What was learnt, added to a write-up that is there already."""

from __future__ import annotations

import pytest

from fixbook.app.folders import user_folders
from fixbook.app.library import Library
from fixbook.app.writing import Desk
from fixbook.app.writing_extended import extend
from fixbook.core.draft import Draft
from fixbook.settings import Place

OTHERWISE = {
    "a sign": ("signs", {"low-drone": "rarely"}, "signs: low-drone rarely"),
    "the minutes": ("minutes", 95, "minutes: 95"),
    "a window": (
        "targets",
        [
            {
                "name": "contact resistance",
                "at": "across it",
                "reads": "ohms",
                "window": "0 .. 7 ohm",
            }
        ],
        "0 .. 7 ohm",
    ),
    "supplies": ("supplies", ["contact oil"], "supplies: contact oil"),
}


@pytest.mark.parametrize(("field", "said", "shown"), OTHERWISE.values(), ids=OTHERWISE)
def test_an_answer_that_the_write_up_holds_otherwise_is_kept(field, said, shown, book):
    """Both stand in the text: what it says, and what was said now."""
    book.add("amp-one")
    desk = Desk(Library(Place(book.folder, "test"), user_folders()))
    text = desk.drafts.text(extend(desk, "amp-one", Draft({field: said}))) or ""
    assert shown in " ".join(text.partition("## Seen again")[2].split())
