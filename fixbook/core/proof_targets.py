"""Targets that nobody could read twice alike, and values that are of the wrong kind."""

from __future__ import annotations

import re
from collections.abc import Iterator

from fixbook.core.entry import Part
from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.quantity import (
    AMPS,
    CELSIUS,
    FARADS,
    HENRIES,
    HERTZ,
    OHMS,
    SECONDS,
    VOLTS,
    WATTS,
    Kind,
)
from fixbook.core.reading import read
from fixbook.errors import QuantityError

_POINTS = re.compile(
    r"\b(?:across|between|from|to|at|on|in|into|over|against|through|along|under|of|off|around|"
    r"round|beside|near|after|before|same|each|both|outputs?|inputs?|terminals?|contacts?|pins?|"
    r"pads?|ends?|leads?|legs?|points?|tracks?|windings?|taps?|bars?|rails?|capsule|"
    r"ground|earth|chassis)\b",
    re.IGNORECASE,
)
_CONDITIONS = re.compile(
    r"[,;:(]|\d|\b(?:off|on|while|when|with|without|after|before|during|until|no|idle|idling|load"
    r"(?:ed)?|cold|warm|hot|running|playing|closed|open|lifted|disconnected|connected|energised|"
    r"discharged|unplugged|still|removed|fitted|dark|lit)\b",
    re.IGNORECASE,
)
_TRIED = (OHMS, VOLTS, AMPS, FARADS, HENRIES, HERTZ, CELSIUS, WATTS, SECONDS)
_FIELDS: dict[str, Kind] = {"volts": VOLTS, "temperature": CELSIUS, "esr": OHMS, "ripple": AMPS}
_VALUES: tuple[tuple[re.Pattern[str], Kind], ...] = (
    (re.compile(r"\b(?:capacitor|electrolytic)s?\b", re.IGNORECASE), FARADS),
    (re.compile(r"\b(?:resistor|potentiometer|trimmer)s?\b", re.IGNORECASE), OHMS),
    (re.compile(r"\b(?:inductor|choke)s?\b", re.IGNORECASE), HENRIES),
    (re.compile(r"\bfuses?\b", re.IGNORECASE), AMPS),
)


def vague_targets(page: Page) -> Iterator[Problem]:
    """Report targets that do not say between which points, or under which conditions."""
    for target in page.entry.targets:
        if not target.at:
            continue  # the schema says that it is missing
        path = ("targets", page.row("targets", "name", target.name), "at")
        if not _POINTS.search(target.at):
            yield page.fault(
                "target-points",
                f"the target {target.name!r} names no points: {target.at!r}",
                "say where the meter goes, as in 'across C4' or 'from pin 3 to ground'",
                *path,
            )
        elif not _CONDITIONS.search(target.at):
            yield page.fault(
                "target-conditions",
                f"the target {target.name!r} names no conditions: {target.at!r}",
                "say how the unit stands, as in ', discharged, one lead lifted'",
                *path,
            )


def windowless_targets(page: Page) -> Iterator[Problem]:
    """Report targets with neither a window nor a note on why there is none."""
    for target in page.entry.targets:
        path = ("targets", page.row("targets", "name", target.name))
        said = page.has(*path, "window") or page.has(*path, "windows")
        if not (target.windows or target.step or target.note or said):
            yield page.fault(
                "target-window",
                f"the target {target.name!r} has no window",
                "add window: with the lowest and highest good reading, as in 0 .. 100 mohm",
                *path,
            )


def wrong_units(page: Page) -> Iterator[Problem]:
    """Report values of parts that are quantities of another kind than their field holds."""
    for part in page.entry.parts:
        path = ("parts", page.row("parts", "at", part.at))
        for field, text, kind in _typed(part):
            other = _other_kind(text, kind)
            if other is not None:
                yield page.fault(
                    "unit-kind",
                    f"{field} of {part.at} is {text!r}, which is {other.word}",
                    f"{kind.word} belongs here: mend the unit, or move the value",
                    *path,
                    field,
                )


def _typed(part: Part) -> Iterator[tuple[str, str, Kind]]:
    for field, kind in _FIELDS.items():
        yield field, getattr(part, field), kind
    for pattern, kind in _VALUES:
        if pattern.search(part.is_):
            yield "value", part.value, kind
            break


def _other_kind(text: str, kind: Kind) -> Kind | None:
    """Give the kind of a text that is a quantity, of another kind than the wanted one."""
    if not text or not text[-1].isalpha() or _is(text, kind):
        return None
    return next((one for one in _TRIED if one != kind and _is(text, one)), None)


def _is(text: str, kind: Kind) -> bool:
    try:
        read(text, kind)
    except QuantityError:
        return False
    return True
