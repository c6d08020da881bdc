"""A row of a shop's history made into a job, or a reason why it cannot be."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from fixbook.api import Bench, FixbookError

from .cells import tidy
from .checking import check_sign
from .columns import NOTHING, SEVERAL
from .dates import EMPTY, read_date
from .durations import read_minutes
from .job import HANDED_OVER, LONGEST_TEXT, OUTCOMES, Job, Note, PartUsed
from .job_json import read_fields
from .note_links import linked_entries
from .parts import read_part
from .privacy import without_contacts
from .shop_words import ShopWords

ENDS = ("outcome", "status", "stage")
"""Fields that hold a shop's words for how a job ended or where it stands."""
_FRACTION = re.compile(r"(\d+)\.0+")


class RowError(ValueError):
    """A row that cannot be a job; the message says why."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How the rows of a history are read."""

    fields: Mapping[str, str]
    """Each column's field."""
    key: tuple[str, ...]
    """The columns by which a row is known again, where there is no job number."""
    day_first: Mapping[str, bool]
    """How the dates of each column are written."""
    today: date
    whole_numbers: bool = False
    """Whether job numbers are whole numbers that a program wrote with a fraction: 2041.0."""


@dataclass(slots=True)
class RowReader:
    """Makes rows into jobs, all in the same way."""

    bench: Bench
    plan: Plan
    words: ShopWords
    ask: Callable[[str], bool] = lambda word: False
    """Asks what a word means; true where it is known now."""
    contacts: int = 0
    """How many mail addresses and telephone numbers were taken out of texts."""
    name: str = ""
    """What the history is called: the beginning of each job's source."""
    _entries: dict[str, str | None] = field(default_factory=dict)
    _used: list[tuple[str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._used = [one for one in self.plan.fields.items() if one[1] != NOTHING]

    def read(self, row: Mapping[str, str]) -> tuple[Job, str]:
        """Give a row's job, and a digest of what it says; RowError says why there is none."""
        texts = self._texts(row)
        values: dict[str, Any] = {"number": self._number(row, texts)}
        outcome, stage = self._end(texts)
        for name, (column, text) in sorted(texts.items()):  # booked_in before notes
            if name in ENDS or name == "number":
                continue
            try:
                self._put(values, name, column, text)
            except FixbookError as error:
                raise RowError(f"{column}: {error.why}") from error
            except ValueError as error:
                raise RowError(f"{column}: {error}") from error
        if len(values) == 1 and not outcome and not stage:
            raise RowError("it says nothing of the job beside its number")
        values["outcome"] = outcome
        values["stage"] = stage or self._stage(values, outcome)
        self._link(values)
        said = repr(sorted(values.items()))
        digest = hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:12]
        try:
            return Job(**values, source=f"{self.name}#{digest}"), digest
        except ValueError as error:
            raise RowError(str(error)) from error

    def says_stage(self, job: Job) -> bool:
        """Say whether the history tells where a job stands, or it was only taken for granted."""
        return bool(job.outcome or job.handed_over) or self._has(ENDS)

    def _texts(self, row: Mapping[str, str]) -> dict[str, tuple[str, str]]:
        """Give each field's column and text; those without a text are left out."""
        found: dict[str, tuple[str, str]] = {}
        for column, name in self._used:
            text = tidy(row.get(column) or "")
            if not text or text.casefold() in EMPTY:
                continue
            if len(text) > LONGEST_TEXT:
                raise RowError(
                    f"{column}: it holds {len(text):,} characters; {LONGEST_TEXT:,} can be kept"
                )
            before = found.get(name)
            if before is None:
                found[name] = column, text
            elif text not in before[1] and name in SEVERAL:
                found[name] = before[0], f"{before[1]}; {text}"
        return found

    def _number(self, row: Mapping[str, str], texts: Mapping[str, tuple[str, str]]) -> str:
        if self.plan.key:
            cells = [tidy(row.get(column) or "").casefold() for column in self.plan.key]
            if not any(cells):
                raise RowError(f"{' and '.join(self.plan.key)} are empty, so it has no key")
            return f"row-{hashlib.sha256(json.dumps(cells).encode()).hexdigest()[:12]}"
        if "number" not in texts:
            raise RowError("it has no job number")
        number = " ".join(texts["number"][1].split())
        whole = _FRACTION.fullmatch(number) if self.plan.whole_numbers else None
        return whole[1] if whole else number

    def _end(self, texts: Mapping[str, tuple[str, str]]) -> tuple[str, str]:
        outcome = stage = ""
        for name in ENDS:
            if name not in texts:
                continue
            column, text = texts[name]
            found = self.words.end(text, stage_first=name == "stage")
            if found is None and self.ask(text):
                found = self.words.end(text)
            if found is None:
                self.words.unknown[text] = self.words.unknown.get(text, 0) + 1
                raise RowError(
                    f"{column}: nobody has said what {text!r} means; "
                    f"--word '{text}=fixed', or {', '.join(OUTCOMES[1:])}, or a stage, or {NOTHING}"
                )
            outcome, stage = outcome or found[0], found[1] or stage
        return outcome, stage

    def _stage(self, values: Mapping[str, Any], outcome: str) -> str:
        if outcome or values.get("handed_over"):
            return HANDED_OVER
        told = self._has((*ENDS, "handed_over"))
        return "booked-in" if told else HANDED_OVER  # a history of finished jobs says no stage

    def _put(self, values: dict[str, Any], name: str, column: str, text: str) -> None:
        if name in ("booked_in", "handed_over"):
            first = self.plan.day_first.get(column, True)
            values[name] = read_date(text, day_first=first, today=self.plan.today)
        elif name in ("minutes", "hours", "soak_minutes"):
            minutes = read_minutes(text, hours=name == "hours")
            values["minutes" if name == "hours" else name] = minutes
        elif name == "unit":
            values[name] = self.words.unit(text)
        elif name in ("make", "model"):
            values["model"] = _joined(values.get("model", ""), text, first=name == "make")
        elif name == "faults":
            values[name] = self._faults(text)
        elif name == "signs":
            values |= self._signs(text)
        elif name == "readings":
            values |= read_fields({name: _json(text)})
        elif name == "parts":
            values[name] = self._parts(text)
        elif name == "notes":
            values[name] = self._notes(text, values)
        else:
            values[name] = self._clean(text)

    def _clean(self, text: str) -> str:
        clean, found = without_contacts(text)
        self.contacts += found
        return clean

    def _faults(self, text: str) -> tuple[str, ...]:
        names = _json(text) if text.startswith("[") else re.split(r"[;,\s]+", text)
        found = [self._entry(str(name)) or str(name) for name in names if str(name).strip()]
        for one in found:
            self.bench.entry(one)
        return tuple(dict.fromkeys(found))

    def _entry(self, name: str) -> str | None:
        if name not in self._entries:
            try:
                self._entries[name] = self.bench.entry(name).id
            except FixbookError:
                self._entries[name] = None
        return self._entries[name]

    def _signs(self, text: str) -> dict[str, Any]:
        found = read_fields({"signs": _json(text) if text.startswith("{") else text})
        for sign, answer in found["signs"].items():
            check_sign(self.bench, sign, answer)
        return found

    def _parts(self, text: str) -> tuple[PartUsed, ...]:
        if text.startswith("["):
            parts: tuple[PartUsed, ...] = read_fields({"parts": _json(text)})["parts"]
            return parts
        listed = re.split(r"[;\n]+", text) if re.search(r"[;\n]", text) else text.split(",")
        return tuple(read_part(self._clean(one.strip())) for one in listed if one.strip())

    def _notes(self, text: str, values: Mapping[str, Any]) -> tuple[Note, ...]:
        if text.startswith("[{"):
            found: Sequence[Note] = read_fields({"notes": _json(text)})["notes"]
            return tuple(Note(one.when, self._clean(one.text)) for one in found)
        when = values.get("booked_in")
        return (Note(when.isoformat() if when else "", self._clean(text)),)

    def _link(self, values: dict[str, Any]) -> None:
        """Link the job to the entries that its own texts name."""
        texts = (values.get("work", ""), *(note.text for note in values.get("notes", ())))
        named = [self._entry(one) for text in texts for one in linked_entries(text)]
        found = (*values.get("faults", ()), *(one for one in named if one))
        if found:
            values["faults"] = tuple(dict.fromkeys(found))

    def _has(self, names: Sequence[str]) -> bool:
        return any(name in names for name in self.plan.fields.values())


def _json(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise RowError(f"it is not JSON: {error}") from error


def _joined(so_far: str, text: str, *, first: bool) -> str:
    """Join make and model, whichever column comes first, and say the make once."""
    make, model = (text, so_far) if first else (so_far, text)
    if model.casefold().startswith(make.casefold()):
        return model
    return f"{make} {model}".strip()
