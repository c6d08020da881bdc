"""Where a capacitor sits, as far as a write-up says it: what it does there, and its rail."""

from __future__ import annotations

import re

from .lines import Line

_ROLES = (
    ("mains", r"class [xy]\d?\b|\b[xy][12]\b|across the mains|safety capacitor"),
    ("snubber", r"snubber"),
    ("timing", r"timing|oscillator"),
    ("regulator-output", r"regulator output|after the regulator|output of the regulator"),
    ("decoupling", r"decoupling|bypass"),
    ("coupling", r"coupling"),
    ("reservoir", r"reservoir|rectifier|smoothing"),
    ("filter", r"filter|crossover|tone"),
    ("back-up", r"back-up|backup|memory"),
)
_STRICTEST = "coupling"
_BODY = re.compile(r"(\d+(?:\.\d+)?) ?x ?(\d+(?:\.\d+)?) ?mm")
_PITCH = re.compile(r"pitch (\d+(?:\.\d+)? ?mm)")


def role_of(line: Line) -> tuple[str, bool]:
    """Give what a capacitor does, and whether the write-up says so.

    Where it does not, it is taken to sit where nothing but the same value will do.
    """
    for text in (line.part.at, line.part.is_, line.entry.section, line.entry.title):
        for role, pattern in _ROLES:
            if re.search(pattern, text, re.IGNORECASE):
                return role, True
    return _STRICTEST, False


def rail_of(line: Line) -> float | None:
    """Give the direct voltage at a part, in volts: as measured, else the highest expected there."""
    if line.rail is not None:
        return line.rail
    name = rf"(?<!\w){re.escape(line.place)}(?!\w)"
    ends = [
        abs(end)
        for one in line.entry.targets
        if one.reads == "dc" and line.place and re.search(name, one.at)
        for window in one.windows
        for end in (window.low, window.high)
        if end
    ]
    return max(ends, default=None)


def sizes_of(body: str) -> list[str]:
    """Give the size that a write-up states, `10 x 20 mm, pitch 5 mm`, as inputs."""
    size, pitch = _BODY.search(body), _PITCH.search(body)
    found = [f"diameter={size[1]} mm", f"height={size[2]} mm"] if size else []
    return [*found, *([f"pitch={pitch[1]}"] if pitch else [])]
