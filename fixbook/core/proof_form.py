"""The form of front matter that can be mended without a doubt: order of fields, spelling of units."""

from __future__ import annotations

from collections.abc import Iterator

from fixbook.core.front_text import first_out_of_order
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.core.unit_spelling import spell_units

ORDER, SPELLING = "field-order", "unit-spelling"
MENDED = "'fixbook proof --fix' mends it"
_VALUES = {
    "targets": ("window", "step"),
    "parts": ("value", "volts", "temperature", "esr", "ripple"),
}


def form_faults(page: Page) -> Iterator[Problem]:
    """Report what `proof --fix` mends."""
    if found := first_out_of_order(page.front):
        name, before = found
        yield page.fault(ORDER, f"{name} stands after {before}", MENDED, name)
    for at in value_texts(page.front):
        spelt = spell_units(at.text)
        if spelt != at.text:
            what = f"{at.text!r} is spelt {spelt!r} in a book"
            yield Problem(page.file, at.line, at.column, SPELLING, what, MENDED)


def value_texts(front: Fields) -> Iterator[Text]:
    """Give the texts of front matter that are values with units, with their places."""
    for field, names in _VALUES.items():
        for row in _rows(front.fields.get(field)):
            yield from _texts(row, names)
            for stated in _rows(row.fields.get("windows")):
                yield from _texts(stated, ("window",))


def _rows(raw: Raw | None) -> Iterator[Fields]:
    for row in raw.items if isinstance(raw, Items) else ():
        if isinstance(row, Fields):
            yield row


def _texts(row: Fields, names: tuple[str, ...]) -> Iterator[Text]:
    for name in names:
        found = row.fields.get(name)
        if isinstance(found, Text) and found.text:
            yield found
