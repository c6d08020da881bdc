"""Date codes of capacitors."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from typing import Annotated, NamedTuple

from fixbook.api import (
    FARADS,
    MEMORY,
    SECONDARY,
    Answer,
    CalculationError,
    FixbookError,
    Source,
    Value,
    calculator,
    show,
)

from . import _two
from ._marking import NO_PROOF, clean, unknown

_YEARS = "ABCDEFHJKLMNPRSTUVWX"
"""One letter a year from 1990 on, and again every twenty years; from memory but for R = 2003."""
_MONTHS = "123456789OND"
_MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_FIRST_CYCLE, _FIRST_CENTURY = 1970, 1950
"""Before these no part bears such a code."""


class Made(NamedTuple):
    """When a part was made: a month or a week of a year."""

    year: int
    month: int = 0
    week: int = 0
    likely: bool = True

    @property
    def place(self) -> float:
        """Its beginning, in years."""
        within = (self.month - 1) / 12 if self.month else (self.week - 1) / 53
        return self.year + within

    @property
    def iso(self) -> str:
        """Written as ISO 8601 has it: `2003-01`, `2012-W08`."""
        return f"{self.year}-{self.month:02}" if self.month else f"{self.year}-W{self.week:02}"

    def __str__(self) -> str:
        what = _MONTH_NAMES[self.month - 1] if self.month else f"week {self.week} of"
        return f"{what} {self.year}" + ("" if self.likely else " (unlikely)")


def decode(code: str, latest_year: int) -> list[Made]:
    """Give every date a code may stand for, up to that year; CalculationError where there is none.

    The latest come first, unlikely ones last.
    """
    plain = code.upper()
    if re.fullmatch(r"\d{4}", plain):
        found = list(_weeks(plain, latest_year))
    elif re.fullmatch(r"[A-Z][0-9A-Z]", plain):
        found = list(_months(plain, latest_year))
    else:
        raise unknown(code, "four digits YYWW, or a letter for the year and one for the month")
    return sorted(found, key=lambda one: (not one.likely, -one.place))


def _weeks(code: str, latest_year: int) -> Iterator[Made]:
    first, second = int(code[:2]), int(code[2:])
    if not 1 <= second <= 53:
        other = f"; as month and year it would be {code[:2]}/{code[2:]}" if 1 <= first <= 12 else ""
        raise unknown(code, f"its week is {code[2:]}; weeks go from 01 to 53{other}")
    for century in range(1900, latest_year + 1, 100):
        if century + first >= _FIRST_CENTURY:
            yield Made(century + first, week=second)
        if 1 <= first <= 12 and century + second >= _FIRST_CENTURY:
            yield Made(century + second, month=first, likely=False)


def _months(code: str, latest_year: int) -> Iterator[Made]:
    letter, month = code[0], code[1]
    if letter not in _YEARS:
        raise unknown(code, f"{letter} is no year letter; they are {', '.join(_YEARS)}")
    if month not in _MONTHS:
        choices = [f"{letter}O"] if month == "0" else []
        why = f"{month} is no month; they are 1 to 9, O, N, D"
        raise unknown(code, why, *choices)
    for cycle in range(_FIRST_CYCLE, latest_year + 1, 20):
        yield Made(cycle + _YEARS.index(letter), month=_MONTHS.index(month) + 1)


def _day(name: str, text: str) -> tuple[int, int]:
    """Read a year, or a year and month, as year and month; December where there is no month."""
    found = re.fullmatch(r"(\d{4})(?:-(\d\d)(?:-(\d\d))?)?", text.strip())
    if found is None or not 1 <= int(found[2] or 12) <= 12 or not 1 <= int(found[3] or 1) <= 31:
        why = f"{name} is a year, or a year and month as in 2003-01, not {text!r}"
        raise CalculationError(why, input=name, read=text)
    return int(found[1]), int(found[2] or 12)


@calculator(
    "date-code",
    formula="four digits: year and week;  letter and character: year from A = 1990, again every "
    "20 years, and month 1 to 9, O, N, D",
    sources=[
        Source("IEC 60062, date-code clause, seen for the edition of 2004"),
        Source("R = 2003, 1 = January, O, N, D = October to December", SECONDARY),
        Source("the other year letters", MEMORY),
    ],
    cautions=[NO_PROOF],
    gives={"dates": "every date the code may stand for, the nearest to the set's own date first"},
)
def date_code(
    code: Annotated[str, "as marked: 1208, R1"],
    not_after: Annotated[str | None, "latest year or month possible; today unless given"] = None,
    set_date: Annotated[str | None, "year or month in which the set was made"] = None,
) -> Answer:
    """Is this capacitor as old as the set, or was it replaced?

    Four digits are the year and the week of it. Two characters are a letter for the year, that
    comes again every twenty years, and the month. All years that are possible are listed, the
    nearest to the set's own date first, or the latest first where that is not known. A letter
    and a digit can also be the two-character capacitor code: ask which line of the marking it
    is.

    Example: R1 is January 2003, or 1983, or 2023; 1208 is week 8 of 2012.
    """
    mark = clean("code", code)
    now = time.localtime()
    last = _day("not_after", not_after) if not_after else (now.tm_year, now.tm_mon)
    end = last[0] + last[1] / 12
    dates = [one for one in decode(mark, last[0]) if one.place < end - 1e-9]
    if not dates:
        raise unknown(mark, f"it would be after {last[0]}-{last[1]:02}")
    if set_date:
        year, month = _day("set_date", set_date)
        own = year + (month - 1) / 12 if "-" in set_date else year + 0.5
        dates.sort(key=lambda one: (not one.likely, abs(one.place - own)))
    letters = not mark.isdigit()
    return Answer(
        [Value("dates", [one.iso for one in dates], text=", ".join(str(one) for one in dates))],
        assumptions=[
            *([] if not_after else [f"not after today, {last[0]}-{last[1]:02}"]),
            *(
                [f"year letter {mark[0].upper()}: {MEMORY}"]
                if letters and mark[0] not in "Rr"
                else []
            ),
        ],
        notes=_also(mark),
    )


def _also(mark: str) -> list[str]:
    """Say what else a code may be: the two-character code of a small capacitor."""
    try:
        capacitance, _ = _two.decode(mark)
    except FixbookError:
        return []
    text = show(capacitance, FARADS)
    return [f"{mark} is also the capacitor code of {text}: which line of the marking is it?"]
