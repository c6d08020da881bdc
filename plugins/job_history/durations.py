"""Times of work in the forms that shops write: 45, 1:30, 1.5 h, 1h30, 2 hours 10 minutes."""

from __future__ import annotations

import re
from functools import lru_cache

from .dates import EMPTY
from .job import MOST_MINUTES

_HOURS = r"(?:h|hr|hrs|hour|hours|std|stunden?|heures?|horas?|ore|uur)"
_MINUTES = r"(?:m|min|mins|minute|minutes|minuten|minutos|minuti)?"
_CLOCK = re.compile(r"(\d{1,4}):([0-5]\d)(?::[0-5]\d)?")
_BOTH = re.compile(rf"(\d+)\s*{_HOURS}\.?\s*(?:and\s*)?(\d{{1,2}})\s*{_MINUTES}\.?")
_ONE = re.compile(rf"(\d+(?:[.,]\d+)?)\s*({_HOURS}|{_MINUTES})\.?")
_IS_HOURS = re.compile(_HOURS)


@lru_cache(maxsize=5_000)
def read_minutes(text: str, *, hours: bool = False) -> int | None:
    """Read a time in whole minutes; None where the text says that there is none.

    A bare number is minutes, or hours where the column says so. ValueError says what is wrong.
    """
    typed = " ".join(text.casefold().split())
    if typed in EMPTY:
        return None
    if found := _CLOCK.fullmatch(typed) or _BOTH.fullmatch(typed):
        minutes = 60.0 * int(found[1]) + int(found[2])
    elif found := _ONE.fullmatch(typed):
        number = float(found[1].replace(",", "."))
        in_hours = _IS_HOURS.fullmatch(found[2]) is not None or (hours and not found[2])
        minutes = number * 60 if in_hours else number
    else:
        raise ValueError(f"{text!r} is no time of work, such as 45, 1:30 or 1.5 h")
    if minutes > MOST_MINUTES:
        raise ValueError(f"{text!r} is longer than {MOST_MINUTES} minutes")
    return round(minutes)
