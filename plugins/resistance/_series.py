"""Preferred values: the tables of IEC 60063, one decade each.

Tables and not the rounding rule: that is wrong for eight values of E24 and for one of E192
(920 is in the table, the rule gives 919).
"""

from __future__ import annotations

from typing import Literal

SeriesName = Literal["E3", "E6", "E12", "E24", "E48", "E96", "E192"]

# IEC 60063, from secondary copies; computed and compared with an open value table
_E24 = (
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
    33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
)  # fmt: skip
_E192 = (
    100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114, 115, 117, 118, 120,
    121, 123, 124, 126, 127, 129, 130, 132, 133, 135, 137, 138, 140, 142, 143, 145,
    147, 149, 150, 152, 154, 156, 158, 160, 162, 164, 165, 167, 169, 172, 174, 176,
    178, 180, 182, 184, 187, 189, 191, 193, 196, 198, 200, 203, 205, 208, 210, 213,
    215, 218, 221, 223, 226, 229, 232, 234, 237, 240, 243, 246, 249, 252, 255, 258,
    261, 264, 267, 271, 274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309, 312,
    316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361, 365, 370, 374, 379,
    383, 388, 392, 397, 402, 407, 412, 417, 422, 427, 432, 437, 442, 448, 453, 459,
    464, 470, 475, 481, 487, 493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556,
    562, 569, 576, 583, 590, 597, 604, 612, 619, 626, 634, 642, 649, 657, 665, 673,
    681, 690, 698, 706, 715, 723, 732, 741, 750, 759, 768, 777, 787, 796, 806, 816,
    825, 835, 845, 856, 866, 876, 887, 898, 909, 920, 931, 942, 953, 965, 976, 988,
)  # fmt: skip

MANTISSAS: dict[str, tuple[int, ...]] = {
    "E3": _E24[::8],
    "E6": _E24[::4],
    "E12": _E24[::2],
    "E24": _E24,
    "E48": _E192[::4],
    "E96": _E192[::2],
    "E192": _E192,
}
"""One decade of each series, as whole numbers: 10 to 91, or 100 to 988."""

SOLD_WITH: dict[str, float] = {
    "E6": 0.2,
    "E12": 0.1,
    "E24": 0.05,
    "E48": 0.02,
    "E96": 0.01,
    "E192": 0.005,
}
"""The tolerance usually sold with a series; a label, not a rule. E3: wider than 20 %."""

_LOWEST, _HIGHEST = -18, 15
"""Decades that are ever looked at."""


def values(series: str, low: float, high: float) -> list[float]:
    """Give the values of a series from `low` to `high`, both included, rising."""
    mantissas = MANTISSAS[series]
    digits = len(str(mantissas[0])) - 1
    first = max(_LOWEST, _decade(low))
    last = min(_HIGHEST, _decade(high))
    found = (
        float(f"{mantissa}e{decade - digits}")
        for decade in range(first, last + 1)
        for mantissa in mantissas
    )
    return [value for value in found if low <= value <= high]


def around(target: float, series: str) -> tuple[float, float | None, float]:
    """Give the next value below a target, the target where it is in the series, the next above."""
    near = values(series, target / 10.5, target * 10.5)
    same = [value for value in near if _is_close(value, target)]
    below = max(value for value in near if value < target and value not in same)
    beyond = min(value for value in near if value > target and value not in same)
    return below, same[0] if same else None, beyond


def nearest(target: float, series: str) -> list[float]:
    """Give the value of a series with the smallest error to a target; both on a tie."""
    below, same, beyond = around(target, series)
    if same is not None:
        return [same]
    gaps = {below: target - below, beyond: beyond - target}
    if _is_close(gaps[below], gaps[beyond]):
        return [below, beyond]
    return [min(gaps, key=gaps.__getitem__)]


def _decade(value: float) -> int:
    return int(f"{value:.17e}".partition("e")[2])


def _is_close(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-9 * max(abs(one), abs(other))
