"""Make text plain before it is cut into words: look-alikes, accents, signs of units.

Only runs of non-ASCII characters are touched, so most text passes at the cost of one check. Where
a run changes its length, `Folded.original` leads a place back to the text as it was written.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from typing import NamedTuple

_RUN = re.compile(r"[^\x00-\x7f]+")
_SIGNS = str.maketrans(
    {
        "Ω": "ohm", "ω": "ohm", "µ": "u", "μ": "u", "°": "deg", "℃": "degC", "±": " ",
        "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": " ", "−": "-", "⁄": "/", "∕": "/",
        "’": "'", "‘": "'", "ʼ": "'", "′": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
        "ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "ł": "l", "đ": "d", "ð": "d",
    }
)  # fmt: skip


class Folded(NamedTuple):
    """Plain text and how to get back."""

    text: str
    shifts: tuple[tuple[int, int], ...]
    """From this place in the folded text on, add that to reach the original."""

    def original(self, place: int) -> int:
        """Say where in the original text a place in the folded text was."""
        at = bisect_right(self.shifts, place, key=lambda shift: shift[0])
        return place + (self.shifts[at - 1][1] if at else 0)


def fold(text: str) -> Folded:
    """Fold look-alike letters, accents, dashes and quotation marks to plain characters."""
    if text.isascii():
        return Folded(text, ())
    shifts: list[tuple[int, int]] = []
    moved = 0

    def plain(run: re.Match[str]) -> str:
        nonlocal moved
        new = _fold_run(run.group())
        if len(new) != len(run.group()):
            start = run.start() - moved
            moved += len(run.group()) - len(new)
            shifts.append((start + len(new), moved))
        return new

    return Folded(_RUN.sub(plain, text), tuple(shifts))


def _fold_run(run: str) -> str:
    # Signs first: compatibility folding would turn the ohm and micro signs into Greek letters,
    # which is right, but a raised or fraction form only comes apart afterwards.
    apart = unicodedata.normalize("NFKD", run.translate(_SIGNS)).translate(_SIGNS)
    return "".join(c for c in apart if not unicodedata.combining(c))
