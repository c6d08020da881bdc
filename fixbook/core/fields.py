"""Reading one mapping field by field, and collecting every fault on the way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from fixbook.core.meant import all_of
from fixbook.core.problems import Problem, did_you_mean
from fixbook.core.raw import Fields, Items, Raw, Text, describe

MOST_SUGGESTIONS = 40
"""Faults of one file that get close matches: each costs milliseconds, and a file can hold 100,000
unknown words."""
Meant = Callable[[str], str]
"""Says what was perhaps meant by an unknown word, or where the known ones are listed."""


class FieldReader:
    """Reads the fields of one mapping of one file; what is wrong goes to `problems`.

    A field that cannot be read has its empty value, so that one fault never hides the rest.
    `where` stands before each field's name in messages, as in `targets[2].window`.
    """

    def __init__(
        self, file: str, fields: Fields, problems: list[Problem], *, where: str = ""
    ) -> None:
        self.file = file
        self.fields = fields
        self.problems = problems
        self.where = where
        self._asked: set[str] = set()

    def fault(self, at: Raw, rule: str, problem: str, do: str) -> None:
        """Note a fault at a place of the file."""
        self.problems.append(Problem(self.file, at.line, at.column, rule, problem, do))

    def name(self, field: str) -> str:
        """Give the field's name as messages show it."""
        return f"{self.where}.{field}" if self.where else field

    def raw(self, field: str) -> Raw | None:
        """Give what stands in a field; None where it is left out or left empty."""
        self._asked.add(field)
        found = self.fields.fields.get(field)
        if isinstance(found, Text) and not found.text and found.plain:
            return None
        return found

    def text(self, field: str, *, required: bool = False) -> str:
        """Give a field's text; empty where it is left out."""
        found = self.raw(field)
        if isinstance(found, (Items, Fields)):
            self._expected(found, field, "a text")
            return ""
        text = found.text.strip() if found else ""
        if required and not text:
            self.fault(
                self.fields.keys.get(field, self.fields),
                "missing-field",
                f"{self.name(field)} is missing",
                f"add {field}: with its value",
            )
        return text

    def texts(self, field: str) -> tuple[str, ...]:
        """Give a field's list of texts."""
        return tuple(item.text.strip() for item in self.items(field))

    def names(self, field: str, known: Iterable[str], what: str) -> tuple[str, ...]:
        """Give a list of known words; unknown ones are reported, with close matches."""
        choices = tuple(known)
        return tuple(
            item.text.strip()
            for item in self.items(field)
            if self.is_known(item, choices, self.name(field), what)
        )

    def choice(
        self, field: str, known: Iterable[str], what: str, *, required: bool = False,
        meant: Meant | None = None,
    ) -> str:  # fmt: skip
        """Give one known word; empty where it is left out or unknown."""
        text = self.text(field, required=required)
        found = self.raw(field)
        if not text or found is None:
            return ""
        good = self.is_known(found, tuple(known), self.name(field), what, text, meant)
        return text if good else ""

    def whole(self, field: str, *, least: int = 0, most: int = 100_000) -> int | None:
        """Give a whole number; None where it is left out or wrong."""
        text = self.text(field)
        found = self.raw(field)
        if not text or found is None:
            return None
        digits = text.lstrip("0") or "0"
        good = text.isascii() and text.isdigit() and len(digits) <= 12
        if not (good and least <= int(digits) <= most):
            self._expected(found, field, f"a whole number from {least} to {most}")
            return None
        return int(digits)

    def number(self, field: str, *, least: float = 0.0, most: float = 1e6) -> float | None:
        """Give a plain decimal number; None where it is left out or wrong."""
        text = self.text(field)
        found = self.raw(field)
        if not text or found is None:
            return None
        good = text.isascii() and text.replace(".", "", 1).isdigit()
        value = float(text) if good else float("nan")
        if not least <= value <= most:
            self._expected(found, field, f"a number from {least:g} to {most:g}")
            return None
        return value

    def rows(self, field: str) -> Iterator[FieldReader]:
        """Give a reader for each mapping of a list."""
        found = self.raw(field)
        if found is None:
            return
        if not isinstance(found, Items):
            self._expected(found, field, "a list of mappings, each begun with a hyphen")
            return
        for number, item in enumerate(found.items, 1):
            where = f"{self.name(field)}[{number}]"
            if isinstance(item, Fields):
                yield FieldReader(self.file, item, self.problems, where=where)
            else:
                self.fault(
                    item,
                    "wrong-shape",
                    f"{where} is {describe(item)}",
                    "write a mapping of fields, as in '- name: …'",
                )

    def mapping(self, field: str) -> Fields | None:
        """Give a field's mapping; None where it is left out or something else."""
        found = self.raw(field)
        if found is None or isinstance(found, Fields):
            return found
        self._expected(found, field, "a mapping of names to values")
        return None

    def is_known(
        self, at: Raw, known: tuple[str, ...], field: str, what: str, text: str = "",
        meant: Meant | None = None,
    ) -> bool:  # fmt: skip
        """Say whether a word is among the known ones, and report it where not."""
        word = text or (at.text.strip() if isinstance(at, Text) else "")
        if word in known:
            return True
        few = all_of(known, f"{what}s")
        if meant is not None and len(self.problems) <= MOST_SUGGESTIONS:
            few = meant(word)
        self.fault(
            at,
            f"unknown-{what.replace(' ', '-')}",
            f"{field}: {word!r} is no {what} that is known",
            few if meant is not None else self._meant(word, known, few),
        )
        return False

    def unread(self) -> None:
        """Report the fields that nobody asked for, with close matches."""
        for field, key in self.fields.keys.items():
            if field not in self._asked:
                known = ", ".join(sorted(self._asked))
                self.fault(
                    key,
                    "unknown-field",
                    f"{self.name(field)!r} is no field that is known",
                    self._meant(field, self._asked, f"known here: {known}"),
                )

    def items(self, field: str) -> Iterator[Text]:
        """Give the texts of a field's list with their places; what is no text is reported."""
        found = self.raw(field)
        if found is None:
            return
        if not isinstance(found, Items):
            written = found.text if isinstance(found, Text) else "…"
            self._expected(found, field, f"a list, as in [{written}]")
            return
        for item in found.items:
            if isinstance(item, Text) and item.text.strip():
                yield item
            else:
                self.fault(
                    item,
                    "wrong-shape",
                    f"{self.name(field)} holds {describe(item)}",
                    "each item of this list is a text",
                )

    def _meant(self, word: str, known: Iterable[str], otherwise: str) -> str:
        if len(self.problems) > MOST_SUGGESTIONS:
            return otherwise
        return did_you_mean(word, known, otherwise=otherwise)

    def _expected(self, found: Raw, field: str, wanted: str) -> None:
        self.fault(
            found, "wrong-shape", f"{self.name(field)} is {describe(found)}", f"expected {wanted}"
        )
