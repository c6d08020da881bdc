"""Jobs as plain values, and jobs read from plain values that somebody wrote.

{"number": "2041", "booked_in": "2026-01-03", "unit": "power-amplifier", "model": "…",
 "signs": {"hum": "seen"}, "faults": ["amp-dc-offset"], "minutes": 40, "outcome": "fixed",
 "parts": [{"what": "relay", "value": "24 V", "count": 1, "at": "RL1"}],
 "readings": [{"fault": "…", "target": "…", "kind": "ohms", "before": 4, "after": 0.05}],
 "notes": [{"when": "2026-01-03", "text": "…"}], …}
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from datetime import date, timedelta
from typing import Any

from fixbook.api import KINDS, QuantityError, did_you_mean, read

from . import dates
from .errors import JobError
from .job import LONGEST_TEXT, MOST_MINUTES, Job, Note, PartUsed, Reading

NAMES = tuple(one.name for one in fields(Job))
_MINUTES = ("minutes", "soak_minutes")
_DATES = ("booked_in", "handed_over")
_NAMED_DAYS = {"today": 0, "yesterday": 1}
_DAY = "a day as 2026-11-25, or today or yesterday"
_ABOUT_PEOPLE = ("customer", "client", "owner", "phone", "telephone", "address", "email", "contact")


def job_to_json(job: Job) -> dict[str, Any]:
    """Give a job as plain values; dates are ISO texts, what is not recorded is empty or null."""
    found: dict[str, Any] = {name: getattr(job, name) for name in NAMES}
    for name in _DATES:
        found[name] = found[name].isoformat() if found[name] else None
    found["signs"] = dict(sorted(job.signs.items()))
    found["faults"] = list(job.faults)
    for name in ("parts", "readings"):
        found[name] = [
            {one: getattr(each, one) for one in each.__slots__} for each in getattr(job, name)
        ]
    found["notes"] = [note._asdict() for note in job.notes]
    return found


def job_from_json(values: object, *, number: str = "") -> Job:
    """Read a job; JobError says which field is wrong and how it should be.

    `number` is taken where the values have none.
    """
    if not isinstance(values, Mapping):
        raise _wrong("the job", values, 'an object: {"number": "2041", …}')
    return make_job(read_fields({"number": number, **values}))


def make_job(values: Mapping[str, Any]) -> Job:
    """Make a job of values of the right types; JobError where they clash."""
    try:
        return Job(**values)
    except ValueError as error:
        said = f"job {values.get('number') or 'without a number'}: {error}"
        raise JobError(said, input="job", read=str(values.get("number", ""))) from error


def read_fields(values: Mapping[str, Any], *, day_first: bool = True) -> dict[str, Any]:
    """Read the fields of a job that are given, each to its type; JobError.

    `day_first` is the book's way of writing days: how 3/4/2026 is read.
    """
    found: dict[str, Any] = {}
    for key, value in values.items():
        name = str(key).strip().lower().replace("-", "_").replace(" ", "_")
        if name not in NAMES:
            raise _unknown(str(key))
        if value is not None and name in _DATES:
            found[name] = read_day(name, value, day_first=day_first) if value != "" else None
        elif value is not None:
            found[name] = READERS.get(name, _text)(name, value)
    return found


def read_day(name: str, value: object, *, day_first: bool) -> date:
    """Read a day as an import reads it, or `today` or `yesterday`; JobError, also for the future.

    `day_first` is the book's way of writing days.
    """
    today, text = date.today(), str(value).strip()
    if text.lower() in _NAMED_DAYS:
        return today - timedelta(days=_NAMED_DAYS[text.lower()])
    try:
        found = dates.read_date(text, day_first=day_first, today=today, ahead=0)
    except dates.OrderError as error:
        order = "day" if day_first else "month"
        why = f"{name}: {text!r} cannot be {order} first, as this book writes days"
        raise JobError(why, input=name, read=text, hint=f"write {_DAY}") from error
    except dates.DateError as error:
        raise JobError(
            f"{name}: {error}", input=name, read=text[: dates.LONGEST], hint=f"write {_DAY}"
        ) from error
    if found is None:
        raise _wrong(name, value, _DAY)
    return found


def _whole(name: str, value: object) -> int | None:
    if value == "":
        return None
    text = str(value).strip()
    if isinstance(value, bool) or not (text.isascii() and text.isdecimal()) or len(text) > 9:
        raise _wrong(name, value, "a whole number: 40")
    return int(text)


def _minutes(name: str, value: object) -> int | None:
    try:
        found = _whole(name, value)
    except JobError:
        found = -1
    if found is not None and not 0 <= found <= MOST_MINUTES:
        raise _wrong(name, value, f"a whole number of minutes: 40, at most {MOST_MINUTES}")
    return found


def _text(name: str, value: object) -> str:
    if not isinstance(value, (str, int)) or isinstance(value, bool):
        raise _wrong(name, value, "a text")
    text = str(value).strip()
    if len(text) > LONGEST_TEXT:
        raise _wrong(name, text[:40], f"at most {LONGEST_TEXT:,} characters")
    return text


def _signs(name: str, value: object) -> dict[str, str]:
    if isinstance(value, str):
        value = dict(_pair(one) for one in value.split(";") if one.strip())
    if not isinstance(value, Mapping):
        raise _wrong(name, value, '{"SIGN": "ANSWER"}')
    return {_text(name, sign): _text(name, answer) for sign, answer in value.items()}


def _pair(text: str) -> tuple[str, str]:
    sign, equals, answer = text.partition("=")
    return sign.strip(), answer.strip() if equals else "seen"


def _faults(name: str, value: object) -> tuple[str, ...]:
    if isinstance(value, str):
        value = value.replace(";", " ").replace(",", " ").split()
    found = [_text(name, one) for one in _list(name, value, '["amp-dc-offset"]')]
    return tuple(dict.fromkeys(one for one in found if one))


def _notes(name: str, value: object) -> tuple[Note, ...]:
    rows = _list(name, value, '[{"when": "2026-11-25", "text": "…"}]')
    return tuple(
        Note(_text(name, one.get("when", "")), _text(name, one.get("text", "")))
        if isinstance(one, Mapping)
        else Note("", _text(name, one))
        for one in rows
    )


def _parts(name: str, value: object) -> tuple[PartUsed, ...]:
    shape = '[{"what": "relay", "value": "24 V", "count": 1, "at": "RL1"}]'
    found = []
    for row in _list(name, value, shape):
        if not isinstance(row, Mapping) or not row.get("what"):
            raise _wrong(name, row, shape)
        _only(name, row, PartUsed.__slots__)
        texts = {key: _text(name, row.get(key, "")) for key in ("what", "value", "at")}
        count = _whole(name, row.get("count", 1))
        try:
            found.append(PartUsed(**texts, count=1 if count is None else count))
        except ValueError as error:
            raise JobError(str(error), input=name) from error
    return tuple(found)


def _readings(name: str, value: object) -> tuple[Reading, ...]:
    shape = '[{"fault": "ID", "target": "NAME", "kind": "ohms", "before": 4, "after": 0.05}]'
    found = []
    for row in _list(name, value, shape):
        if not isinstance(row, Mapping) or not (row.get("fault") and row.get("target")):
            raise _wrong(name, row, shape)
        _only(name, row, Reading.__slots__)
        kind = _text(name, row.get("kind", ""))
        if kind not in KINDS:
            hint = did_you_mean(kind, KINDS, otherwise=f"one of {', '.join(KINDS)}")
            raise JobError(f"{name}: {kind!r} is no kind of quantity", input=name, hint=hint)
        texts = {key: _text(name, row.get(key, "")) for key in ("fault", "target", "meter")}
        taken = {one: _value(row.get(one), kind, f"{name}.{one}") for one in ("before", "after")}
        found.append(Reading(**texts, kind=kind, before=taken["before"], after=taken["after"]))
    return tuple(found)


def _value(value: object, kind: str, name: str) -> float | None:
    if value is None or value == "":
        return None
    if isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300:
        return float(value)
    if not isinstance(value, str):
        raise _wrong(name, value, "a number in the base unit, or a text with its unit")
    try:
        return read(value, KINDS[kind], name=name).value
    except QuantityError as error:
        raise JobError(error.why, input=name, read=value, hint=error.hint) from error


def _list(name: str, value: object, shape: str) -> Sequence[object]:
    if not isinstance(value, (list, tuple)):
        raise _wrong(name, value, shape)
    return value


def _only(name: str, row: Mapping[str, object], known: Sequence[str]) -> None:
    for key in row:
        if key not in known:
            near = did_you_mean(str(key), known, otherwise=f"it has {', '.join(known)}")
            raise JobError(f"{name} has no field {key!r}; {near}", input=name, read=str(key))


def _unknown(key: str) -> JobError:
    if any(word in key.lower() for word in _ABOUT_PEOPLE):
        why = f"{key!r} is about a customer, and jobs keep nothing about customers"
        return JobError(why, input=key, hint="leave the field out")
    near = did_you_mean(key.lower(), NAMES, otherwise=f"it has {', '.join(NAMES)}")
    return JobError(f"a job has no field {key!r}; {near}", input=key, read=key, choices=NAMES)


def _wrong(name: str, value: object, wanted: str) -> JobError:
    shown = repr(value)[:60]
    return JobError(f"{name} is {shown}; wanted is {wanted}", input=name, read=str(value)[:60])


READERS: dict[str, Callable[[str, Any], Any]] = {
    "signs": _signs,
    "faults": _faults,
    "parts": _parts,
    "readings": _readings,
    "notes": _notes,
    **dict.fromkeys(_MINUTES, _minutes),
}
