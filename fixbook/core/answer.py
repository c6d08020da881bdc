"""What a calculator says: values with units, a verdict where one makes sense, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from fixbook.core.quantity import Kind, show

TYPE_CHECKING = False
if TYPE_CHECKING:
    from fixbook.core.sheet import Block

Verdict = Literal["pass", "marginal", "fail", "cannot tell", "info"]
VERDICTS: tuple[Verdict, ...] = ("pass", "marginal", "fail", "cannot tell", "info")
WORST_FIRST: tuple[Verdict, ...] = ("fail", "cannot tell", "marginal", "pass", "info")


class Evidence(NamedTuple):
    """How a figure is known; `words` is what the user reads beside it."""

    label: str
    words: str

    def __str__(self) -> str:
        return self.words


PUBLISHED = Evidence("published", "published source")
SECONDARY = Evidence("secondary", "secondary source")
MEMORY = Evidence("memory", "from memory, confirm")
PRACTICE = Evidence("practice", "common practice, no source")
ARITHMETIC = Evidence("arithmetic", "arithmetic")


class Source(NamedTuple):
    """Something a result rests on."""

    title: str
    evidence: Evidence = PUBLISHED

    def __str__(self) -> str:
        return f"{self.title} ({self.evidence})"


class Value(NamedTuple):
    """One named answer.

    `value` is a number in the kind's base unit, a list of such numbers, or a text; None where
    there is no answer, and then `text` says why.
    """

    name: str
    value: float | int | str | bool | Sequence[float] | Sequence[str] | None
    kind: Kind | None = None
    digits: int = 4
    text: str = ""
    """Written instead of the number where given."""

    def shown(self) -> str:
        """Give the answer as a person reads it."""
        if self.text:
            return self.text
        return _shown(self.value, self.kind, self.digits)

    def to_json(self) -> dict[str, object]:
        """Give `{"value", "unit", "text"}`."""
        unit = self.kind.unit if self.kind is not None else None
        value = list(self.value) if isinstance(self.value, (list, tuple)) else self.value
        return {"value": value, "unit": unit or None, "text": self.shown()}


class Table(NamedTuple):
    """An answer that is a list of records: column names with their kinds, and the rows."""

    name: str
    columns: Mapping[str, Kind | None]
    rows: Sequence[Mapping[str, float | int | str | bool | None]]
    digits: int = 4

    def cells(self) -> list[tuple[str, ...]]:
        """Give the rows as a person reads them."""
        return [
            tuple(_shown(row.get(name), kind, self.digits) for name, kind in self.columns.items())
            for row in self.rows
        ]

    def shown(self) -> str:
        """Give the rows in a line."""
        return "; ".join(", ".join(cell for cell in row if cell) for row in self.cells())

    def to_json(self) -> dict[str, object]:
        """Give `{"value": [{…}], "unit", "text"}`; the unit is that of all columns, or none."""
        return {
            "value": [{name: row.get(name) for name in self.columns} for row in self.rows],
            "unit": None,
            "text": self.shown(),
        }


@dataclass(frozen=True, slots=True)
class Answer:
    """A calculator's result. A verdict never comes without the numbers that decided it."""

    values: Sequence[Value | Table]
    verdict: Verdict | None = None
    word: str | None = None
    """The sharper word where there is one: good, low, high, A better."""
    why: str = ""
    """One plain sentence with the numbers that decided it."""
    assumptions: Sequence[str] = ()
    notes: Sequence[str] = ()
    cautions: Sequence[str] = ()
    """Safety sentences beyond those that the calculator always shows."""
    drawings: Sequence[Block] = ()
    """The same figures to look at: scales, curves, bars."""

    def __post_init__(self) -> None:
        if self.verdict is not None and self.verdict not in VERDICTS:
            raise ValueError(f"no such verdict: {self.verdict}")
        if self.verdict is not None and not self.why:
            raise ValueError("a verdict needs the sentence that says why")

    def __getitem__(self, name: str) -> object:
        """Give a named answer's value."""
        for one in self.values:
            if one.name == name:
                return one.value if isinstance(one, Value) else one.rows
        raise KeyError(name)


def worst(verdicts: Sequence[Verdict]) -> Verdict:
    """Give the worst of several verdicts: fail, cannot tell, marginal, pass, info."""
    return min(verdicts, key=WORST_FIRST.index, default="info")


def _shown(value: object, kind: Kind | None, digits: int) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(_shown(one, kind, digits) for one in value)
    if isinstance(value, (int, float)):
        return show(value, kind, digits=digits) if kind is not None else f"{value:.{digits}g}"
    return str(value)
