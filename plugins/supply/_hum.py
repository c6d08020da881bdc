"""Naming a hum by its frequency."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    COUNT,
    HERTZ,
    PRACTICE,
    RATIO,
    Answer,
    Entry,
    Hertz,
    Kind,
    Part,
    Ratio,
    Source,
    Table,
    Target,
    Value,
    calculator,
    show,
    within,
)

Row = dict[str, float | int | str | bool | None]

_MAINS = {"auto": (50, 60), "50": (50,), "60": (60,)}
_FUNDAMENTAL = "magnetic pick-up, ground loop, half-wave supply, or one open diode of a bridge"
_RIPPLE = "full-wave supply ripple: reservoir weak, or regulator out of headroom"
_ODD = "transformer saturation or distorted mains"
_EVEN = "harmonic of supply ripple"
_NONE = "not mains related: switching supply, display, motor, or aliasing of the meter"


@dataclass(frozen=True, slots=True)
class _Match:
    multiple: int
    mains: int
    off: float
    """Relative distance from the exact multiple, with its sign."""


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if isinstance(where, Part) or where.reads != "hertz":
        return None
    words = where.name.lower().replace("-", " ").split()
    return {"mains": "auto"} if "ripple" in words or "hum" in words else None


@calculator(
    "hum-frequency",
    formula="m = f/mains, rounded; accepted where f is within the tolerance of m times mains",
    sources=[Source("what each multiple of the mains points to", PRACTICE)],
    gives={
        "multiple": "how many times the mains frequency it is; none where it is no multiple",
        "mains": "the mains frequency that it fits best",
        "meanings": "what it points to, one row for each mains frequency that it fits",
    },
    fits=_fits,
)
def hum_frequency(
    frequency: Annotated[Hertz, "measured frequency of the hum", within(10, 5000)],
    mains: Annotated[Literal["auto", "50", "60"], "mains frequency; auto tries both"] = "auto",
    tolerance: Annotated[
        Ratio, "how far it may lie from a multiple", within(0.005, 0.05), PRACTICE
    ] = 0.02,
) -> Answer:
    """Which fault makes this hum?

    Once the mains frequency is a field or a half-wave fault, twice is the ripple of a full-wave
    supply, odd multiples come from a transformer or the mains itself, higher even ones go with
    the ripple. 300 Hz is both 6 x 50 Hz and 5 x 60 Hz: then both are shown, and the country
    decides. High multiples lie so close together that nearly any frequency fits one.

    Example: 99.2 Hz fits 2 x 50 Hz (0.8 % off): ripple of a full-wave supply.
    """
    matches = sorted(
        (
            match
            for one in _MAINS[mains]
            if (match := _match(frequency, one)) and abs(match.off) <= tolerance * (1 + 1e-9)
        ),
        key=lambda match: (round(abs(match.off), 9), match.mains),
    )
    columns: dict[str, Kind | None] = {
        "multiple": COUNT,
        "mains": HERTZ,
        "off": RATIO,
        "meaning": None,
    }
    if not matches:
        row: Row = {"multiple": None, "mains": None, "off": None, "meaning": _NONE}
        nothing = f"no multiple of {' or '.join(f'{one} Hz' for one in _MAINS[mains])}"
        values = [Value("multiple", None, COUNT, text=nothing), Value("mains", None, HERTZ)]
        return Answer([*values, Table("meanings", columns, [row])])
    rows: list[Row] = [
        {"multiple": one.multiple, "mains": one.mains, "off": one.off,
         "meaning": _meaning(one.multiple)}
        for one in matches
    ]  # fmt: skip
    best = matches[0]
    either = " or ".join(f"{one.multiple} x {one.mains} Hz" for one in matches)
    notes = []
    if len(matches) > 1:
        notes.append(f"It fits {either}: say which mains this is.")
    if best.multiple * tolerance * 2 * len(_MAINS[mains]) >= 1:
        notes.append(
            f"At {show(frequency, HERTZ)} the multiples lie so close together that nearly any "
            "frequency fits one: this alone proves nothing. Compare with the mains on a scope."
        )
    return Answer(
        [
            Value("multiple", best.multiple, COUNT, text=either),
            Value("mains", best.mains, HERTZ),
            Table("meanings", columns, rows),
        ],
        notes=notes,
    )


def _match(frequency: float, mains: int) -> _Match | None:
    multiple = round(frequency / mains)
    if multiple < 1:
        return None
    return _Match(multiple, mains, frequency / (multiple * mains) - 1)


def _meaning(multiple: int) -> str:
    if multiple <= 2:
        return _FUNDAMENTAL if multiple == 1 else _RIPPLE
    return _ODD if multiple % 2 else _EVEN
