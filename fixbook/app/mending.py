"""`proof --fix`: what is safe to mend in write-ups, planned, shown, then written."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fixbook.app.library import Library
from fixbook.app.proofing import is_wanted, opened_at
from fixbook.core.front_text import in_order, replace_text, same_values
from fixbook.core.proof_form import value_texts
from fixbook.core.proof_marks import conflict_marks
from fixbook.core.raw import Fields
from fixbook.core.unit_spelling import spell_units
from fixbook.errors import BookError, what_to_do
from fixbook.store.document import compose, read_document
from fixbook.store.snapshot import Snapshot, take_snapshot


@dataclass(frozen=True, slots=True)
class Mend:
    """A file, as it is and as it would be."""

    file: str
    """As messages show it."""
    before: Snapshot
    after: str

    @property
    def diff(self) -> list[str]:
        """The difference, in the unified form."""
        return text_diff(self.before.text, self.after, self.file, f"{self.file}, mended")


def plan_mends(library: Library, paths: Sequence[str]) -> Iterator[Mend]:
    """Give what can be mended in the files that paths name; nothing is written."""
    for opened, wanted in opened_at(library, paths):
        shelf = opened.shelves[0]
        for path in opened.listings[shelf.name].entries:
            if not is_wanted(path, wanted):
                continue
            try:
                before = take_snapshot(shelf.root / path)
            except BookError:
                continue  # proofing says what is wrong with it
            file = f"{shelf.shown}/{path}"
            after = mended(before.text, file)
            if after != before.text:
                yield Mend(file, before, after)


def write_mend(mend: Mend) -> None:
    """Write one mend; BookError where the file changed meanwhile or cannot be written."""
    try:
        mend.before.write(mend.after)
    except OSError as error:
        raise BookError(
            f"{mend.file} cannot be written: {error.strerror or error}",
            input=mend.file,
            hint=f"it is as it was; {what_to_do(error, 'look at its permissions')}",
        ) from error


def mended(text: str, file: str = "") -> str:
    """Give a write-up's text with its fields in order and its units spelt; else as it is."""
    document = read_document(text, file)
    if document.front is None or document.problems or conflict_marks(file, text):
        return text
    front_text, front = document.front_text, document.front
    for at in list(value_texts(front)):
        spelt = spell_units(at.text)
        if spelt != at.text:
            front_text = replace_text(front_text, at, spelt) or front_text
            front_text, front = _checked(front_text, document.front_text, front)
    ordered = in_order(front_text, front)
    if ordered is not None and ordered != front_text:
        again, problems = compose(ordered, file)
        if again is not None and not problems and same_values(again, front):
            front_text = ordered
    return text.replace(document.front_text, front_text, 1)


def _checked(front_text: str, fallback: str, front: Fields) -> tuple[str, Fields]:
    """Read front matter again after a change; where it cannot be read, give up on the change."""
    again, problems = compose(front_text, "", first_line=2)
    return (front_text, again) if again is not None and not problems else (fallback, front)


def text_diff(old: str, new: str, old_name: str, new_name: str) -> list[str]:
    """Give the difference of two texts in the unified form, line by line."""
    return [
        line.rstrip("\n\r")
        for line in difflib.unified_diff(
            old.splitlines(keepends=True), new.splitlines(keepends=True), old_name, new_name, n=2
        )
    ]
