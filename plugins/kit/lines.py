"""What is to be picked: the parts of write-ups, with what was read off the unit's own parts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from fixbook.api import Entry, Part, did_you_mean

from .errors import KitError
from .marking import as_marked

_STATED = re.compile(r"\d")
_NOT_STATED = re.compile(
    r"\b(?:as (?:marked|the|found|listed|printed|measured)|same|exactly)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a pick list: a part of a write-up."""

    part: Part
    entry: Entry
    rail: float | None = None
    """The direct voltage there, in volts, where somebody measured it."""
    marked: str = ""
    """What somebody read off the unit's own part."""

    @property
    def place(self) -> str:
        """Where it sits, as its first name: `C1` of `C1 (and C2 in a split supply)`."""
        return re.split(r"[,(]", self.part.at)[0].strip()

    @property
    def value(self) -> str:
        """All that the part must be, in a line."""
        part = self.part
        esr = f"ESR {part.esr}" if part.esr else ""
        ripple = f"ripple {part.ripple}" if part.ripple else ""
        body = f"body {part.body}" if part.body else ""
        wanted = (part.value, part.volts, part.temperature, esr, ripple, body)
        return "; ".join(one for one in wanted if one)

    @property
    def is_stated(self) -> bool:
        """Whether it is known what the part is, rather than `as marked`."""
        return not self.open

    @property
    def open(self) -> str:
        """What has still to be read off the part: `value` or `rated voltage`; empty: nothing."""
        value, volts = self.part.value, self.part.volts
        if _NOT_STATED.match(value) or (value and not _STATED.search(value)):
            return "value"
        return "rated voltage" if _NOT_STATED.match(volts) else ""


def pick_list(
    entries: Iterable[Entry],
    marked: Mapping[str, str] | None = None,
    rails: Mapping[str, float] | None = None,
) -> list[Line]:
    """Give the parts of write-ups in their order; each write-up's parts stay its own.

    `marked` says what stands on a part of the unit itself: `{"C1": "4700 uF 35 V 105 C"}`;
    `rails` which voltage is there. KitError for a place that no part has, and for a figure that
    is not understood.
    """
    lines = [Line(part, entry) for entry in entries for part in entry.parts]
    for place, text in (marked or {}).items():
        _check_place(place, lines, "--marked")
        lines = [
            replace(one, part=as_marked(one.part, text, place), marked=text)
            if _is_at(one, place)
            else one
            for one in lines
        ]
    for place, rail in (rails or {}).items():
        _check_place(place, lines, "--rail")
        lines = [replace(one, rail=rail) if _is_at(one, place) else one for one in lines]
    return lines


def _is_at(line: Line, place: str) -> bool:
    return line.place.casefold() == place.casefold()


def _check_place(place: str, lines: Sequence[Line], option: str) -> None:
    if not any(_is_at(line, place) for line in lines):
        known = list(dict.fromkeys(line.place for line in lines))
        near = did_you_mean(place, known, otherwise=f"there are {', '.join(known) or 'none'}")
        raise KitError(
            f"no part sits at {place!r}; {near}", input=option, read=place, choices=known
        )


def together(entries: Sequence[Entry], field: str) -> list[str]:
    """Give the tools or supplies of all write-ups, each once."""
    return list(dict.fromkeys(one for entry in entries for one in getattr(entry, field)))
