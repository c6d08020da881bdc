"""Dates in the forms that shops write."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

EMPTY = frozenset(
    {"", "-", "--", "?", "n/a", "na", "nil", "none", "null", "nan", "nat", "unknown", "tba", "tbc"}
)
"""Words for a cell that holds nothing."""
EARLIEST = 1950
SHEET_DAYS = (18_264, 73_050)
"""The day numbers of spreadsheets that are read as dates: from 1950 to 2099."""

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?", re.IGNORECASE)
_SHORT = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})(?:,? +\d.*)?")
_PACKED = re.compile(r"(\d{4})(\d{2})(\d{2})(?:T?\d{6}|T\d{4})?", re.IGNORECASE)
_NUMBER = re.compile(r"(\d{5}|\d{10}|\d{13})(?:\.\d+)?")
_MONTHS = {
    "januar": 1, "janvier": 1, "enero": 1, "gennaio": 1, "januari": 1,
    "februar": 2, "fevrier": 2, "février": 2, "febrero": 2, "febbraio": 2, "februari": 2,
    "marz": 3, "märz": 3, "maerz": 3, "mrz": 3, "mars": 3, "marzo": 3, "maart": 3,
    "avril": 4, "abril": 4, "aprile": 4, "avr": 4,
    "mai": 5, "mayo": 5, "maggio": 5, "mei": 5,
    "juni": 6, "juin": 6, "junio": 6, "giugno": 6,
    "juli": 7, "juillet": 7, "julio": 7, "luglio": 7,
    "aout": 8, "août": 8, "agosto": 8, "augustus": 8,
    "septembre": 9, "septiembre": 9, "settembre": 9,
    "oktober": 10, "octobre": 10, "octubre": 10, "ottobre": 10, "okt": 10,
    "novembre": 11, "noviembre": 11,
    "dezember": 12, "decembre": 12, "décembre": 12, "diciembre": 12, "dicembre": 12, "dez": 12,
}  # fmt: skip
_WORD = re.compile(r"[^\W\d_]+")
_ENGLISH = "jan feb mar apr may jun jul aug sep oct nov dec".split()
_MONTH = re.compile(rf"\b(?:{'|'.join(_ENGLISH)})")

LONGEST = 100
"""Letters of a date, blanks around it with it."""


AHEAD = 366
"""Days from today that a history may name: what is planned."""


class DateError(ValueError):
    """A date that cannot be read; the message says why."""


class OrderError(DateError):
    """A date whose day and month stand the other way round than they are said to."""


def read_date(text: str, *, day_first: bool, today: date, ahead: int = AHEAD) -> date | None:
    """Read a date; None where the text says that there is none. DateError says what is wrong.

    `day_first` says how 3/4/2026 is read; a date that the other order alone could give is not
    read. A date without a day, or more than `ahead` days from today, is none.
    """
    if len(text) > LONGEST:
        raise DateError(f"{text[:LONGEST]!r} and {len(text) - LONGEST:,} letters more is no date")
    found = _read(text.strip(), day_first)
    if found is None:
        return None
    meant = "" if text.strip() == found.isoformat() else f" ({found})"
    if found < date(EARLIEST, 1, 1):
        raise DateError(f"the date {text!r}{meant} is before {EARLIEST}")
    if found > today + timedelta(days=ahead):
        raise DateError(f"the date {text!r}{meant} is in the future")
    return found


def order_of(texts: Iterable[str], *, day_first: bool) -> bool:
    """Say whether dates are written day first: as they show, or as the shop says if they do not.

    A column in which a second number is above 12, and never a first one, is month first.
    """
    above: Counter[str] = Counter()
    for text in texts:
        found = _SHORT.fullmatch(text.strip())
        if found:
            above["first"] += int(found[1]) > 12
            above["second"] += int(found[2]) > 12
    if above["first"] and not above["second"]:
        return True
    if above["second"] and not above["first"]:
        return False
    return day_first


@lru_cache(maxsize=20_000)  # a history has the same days over and over
def _read(text: str, day_first: bool) -> date | None:
    if text.casefold() in EMPTY or text.startswith(("0000-00-00", "00/00/0000", "00.00.0000")):
        return None
    if found := _ISO.fullmatch(text) or _PACKED.fullmatch(text):
        return _made(text, int(found[1]), int(found[2]), int(found[3]))
    if found := _SHORT.fullmatch(text):
        first, second, year = int(found[1]), int(found[2]), _year(found[3])
        day, month = (first, second) if day_first else (second, first)
        if month > 12 >= day:
            order = "day" if day_first else "month"
            other = "--month-first" if day_first else "--day-first"
            raise OrderError(f"the date {text!r} cannot be {order} first; see {other}")
        return _made(text, year, month, day)
    if found := _NUMBER.fullmatch(text):
        return _from_number(text, int(found[1]))
    return _in_words(text, day_first)


def _from_number(text: str, number: int) -> date:
    if SHEET_DAYS[0] <= number <= SHEET_DAYS[1]:
        return date(1899, 12, 30) + timedelta(days=number)
    if number >= 10**9:
        seconds = number // 1000 if number >= 10**12 else number
        return datetime.fromtimestamp(seconds, UTC).date()
    raise DateError(f"{text!r} is no date")


def _in_words(text: str, day_first: bool) -> date:
    """Read a date with the name of a month, in any order."""
    english = _WORD.sub(lambda word: _english(word[0].casefold()), text)
    if not _MONTH.search(english):  # figures alone are read above, in one order and no other
        raise DateError(f"{text!r} is no date")
    from dateutil.parser import parse

    english = re.sub(r"(?<=\d)\.(?= )|\b(?:de|di)\b", " ", english)
    try:
        # What a text leaves out is filled in from the default; two defaults show what that was.
        one, other = (
            parse(english, dayfirst=day_first, default=default)
            for default in (datetime(1904, 2, 3), datetime(1908, 8, 17))
        )
    except (ValueError, OverflowError, TypeError) as error:
        raise DateError(f"{text!r} is no date") from error
    if one.date() != other.date():
        raise DateError(f"the date {text!r} lacks a day, a month or a year")
    return one.date()


def _english(word: str) -> str:
    month = _MONTHS.get(word)
    return _ENGLISH[month - 1] if month else word


def _year(text: str) -> int:
    year = int(text)
    return year if len(text) == 4 else 2000 + year if year < 70 else 1900 + year


def _made(text: str, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError as error:
        raise DateError(f"the date {text!r} is on no calendar") from error
