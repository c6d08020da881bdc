"""Reading one listed write-up with everything that proofing and mending need of it."""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.app.library import OWN, Filed, Library, Shelf
from fixbook.core.entry import Entry
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.proof_marks import conflict_marks
from fixbook.core.schema import read_entry
from fixbook.core.vocabulary import Vocabulary
from fixbook.store.document import Document, read_document
from fixbook.store.folder import read_file


@dataclass(frozen=True, slots=True)
class Copy:
    """One file as it was read."""

    file: str
    """As messages show it."""
    text: str
    document: Document | None
    filed: Filed | None
    """None where it cannot be used."""
    problems: list[Problem]

    @property
    def page(self) -> Page | None:
        """What the rules look at; None where the file cannot be used."""
        if self.filed is None or self.document is None or self.document.front is None:
            return None
        front, text = self.document.front, self.document.front_text
        return Page(self.file, self.filed.entry, front, text)


def read_copy(library: Library, shelf: Shelf, path: str) -> Copy:
    """Read a listed write-up: its text, its parts, its entry, and what is wrong with it."""
    file = f"{shelf.shown}/{path}"
    text, problems = read_file(shelf.root, path, shown=shelf.shown)
    if problems:
        return Copy(file, "", None, None, problems)
    document, entry, problems = read_text(text, file, library.vocabulary)
    if entry is None:
        return Copy(file, text, document, None, problems)
    problems += misfiled(entry, path, file)
    replaces = shelf.name == OWN and entry.id in library.replaced
    filed = Filed(entry, shelf, path, tuple(problems), replaces)
    return Copy(file, text, document, filed, problems)


def read_text(
    text: str, file: str, vocabulary: Vocabulary
) -> tuple[Document, Entry | None, list[Problem]]:
    """Read a write-up's text; the entry is None, and why, where it cannot be used."""
    document = read_document(text, file)
    marks = conflict_marks(file, text)
    if document.front is None:
        return document, None, marks or list(document.problems)
    entry, faults = read_entry(
        document.front, document.body, vocabulary, file=file, body_line=document.body_line
    )
    return document, entry, [*marks, *document.problems, *faults]


def misfiled(entry: Entry, path: str, file: str) -> list[Problem]:
    """Report an entry whose id is not its file's name, or whose unit is not its folder."""
    folder, _, name = path.rpartition("/")
    problems = []
    if entry.id != name.removesuffix(".md"):
        problems.append(
            Problem(
                file, 2, 1, "file-name", f"the id {entry.id!r} is not the file's name",
                f"rename the file to {entry.id}.md, or mend the id",
            )
        )  # fmt: skip
    if entry.unit != folder:
        problems.append(
            Problem(
                file, 2, 1, "file-name", f"the unit {entry.unit!r} is not the file's folder",
                f"move the file to {entry.unit}/, or mend the unit",
            )
        )  # fmt: skip
    return problems
