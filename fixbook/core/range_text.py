"""Where a text that holds a range is split. `fixbook.core.reading` is the front door.

separator = ".." | "..." | " to " | "-" between a digit or letter and a digit
"""

from __future__ import annotations

from fixbook.core.numerals import DIGITS


def split_range(text: str) -> tuple[str, str] | None:
    """Split a plain text at its one separator; None where it has none, or several.

    A side is empty where that end is left open.
    """
    for separator in _separators(text):
        if text.count(separator) == 1:
            left, _, right = text.partition(separator)
            return left.strip(), right.strip()
    lowered = text.casefold()
    if lowered.count(" to ") == 1:
        at = lowered.index(" to ")
        return text[:at].strip(), text[at + 4 :].strip()
    hyphens = [at for at in range(1, len(text)) if _is_range_hyphen(text, at)]
    if len(hyphens) == 1:
        return text[: hyphens[0]].strip(), text[hyphens[0] + 1 :].strip()
    return None


def _separators(text: str) -> list[str]:
    """Give the runs of dots that can part two numbers, the longest first."""
    runs = "".join(letter if letter == "." else " " for letter in text).split()
    return sorted({run for run in runs if len(run) in (2, 3)}, key=len, reverse=True)


def _is_range_hyphen(text: str, at: int) -> bool:
    before, after = text[:at].rstrip(), text[at + 1 :].lstrip()
    if text[at] != "-" or not before or (after[:1] not in DIGITS and after[:1] != "."):
        return False
    if not after or not (before[-1].isalnum() or before[-1] in "%°"):
        return False
    in_exponent = before[-1] in "eE" and before[-2:-1] in DIGITS and before[-2:-1] != ""
    return not (in_exponent and before == text[:at])
