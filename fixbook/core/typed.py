"""What was typed, before it is read: made plain, and taken apart where it holds too much."""

from __future__ import annotations

import unicodedata

from fixbook.core.numerals import DIGITS
from fixbook.errors import QuantityError

LONGEST = 40
"""Characters. No value on a bench needs more."""
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
_PLAIN = {ord(dash): "-" for dash in _DASHES} | {ord("\u03bc"): "u", ord("\u2044"): "/"}
_DEGREE = {ord("\u00ba"): "°"}  # the ordinal sign, which some keyboards have in its place
_PLUS_MINUS = ("±", "+/-", "+-", "-/+", "-+")


def clean(text: str) -> str:
    """Make a text plain: one form of each letter, one blank between words.

    QuantityError where it is empty, too long, or holds what cannot be typed.
    """
    if len(text) > LONGEST:
        why = f"this is {len(text)} characters long; a value has at most {LONGEST}"
        raise QuantityError(why, read=text[:LONGEST])
    stripped = text.strip().translate(_DEGREE)
    if not stripped:
        raise QuantityError("nothing was typed; a value is wanted here")
    for letter in stripped:
        if not letter.isprintable() and unicodedata.category(letter) != "Zs":
            raise QuantityError(
                f"there is an invisible character (U+{ord(letter):04X}) in it; type it again "
                "without"
            )
    _refuse_raised_digits(stripped)
    plain = unicodedata.normalize("NFKC", stripped).translate(_PLAIN)
    return " ".join(plain.split())


def _refuse_raised_digits(text: str) -> None:
    """Refuse small digits, which would become ordinary ones: 10² is not 102."""
    for at, letter in enumerate(text):
        form = unicodedata.decomposition(letter)
        if not form.startswith(("<super>", "<sub>", "<circle>", "<fraction>")):
            continue
        plain = unicodedata.normalize("NFKC", letter)
        in_area = plain == "2" and text[:at].endswith("m")
        alone = form.startswith("<fraction>") and (at == 0 or text[at - 1] == " ")
        if DIGITS.intersection(plain) and not in_area and not alone:
            raise QuantityError(f"{letter} in {text} is a small digit; write the number out")


def split_plus_minus(text: str) -> tuple[str, str] | None:
    """Split a text at its plus-or-minus sign; None where it has none."""
    for sign in _PLUS_MINUS:
        before, found, after = text.partition(sign)
        if found:
            return before.strip(), after.strip()
    return None


def pieces_of(text: str) -> list[str]:
    """Take a text that holds several values apart: `220 uF 16 V` gives `220 uF` and `16 V`."""
    split = split_plus_minus(text)
    if split is not None:
        return [piece for part in split for piece in pieces_of(part)]
    words = "".join(" " if letter in ";/|" else letter for letter in text).split()
    pieces: list[str] = []
    for word in (word.strip(",") for word in words):
        if pieces and (word[:1] not in DIGITS and word[:1] not in ("+", "-", ".")):
            pieces[-1] += f" {word}"
        elif word:
            pieces.append(word)
    return pieces


def fraction_of(text: str) -> str:
    """Give `0.25 W` for `1/4W` and for `1 1/2 W` 1.5; empty where it is no fraction."""
    above, slash, below = text.partition("/")
    whole, _, top = above.rpartition(" ")
    bottom = below[: len(below) - len(below.lstrip("0123456789"))]
    numbers = [number for number in (whole, top, bottom) if number]
    if not (slash and top and bottom) or any(set(number) - DIGITS for number in numbers):
        return ""
    if not int(bottom):
        return ""
    value = int(whole or 0) + int(top) / int(bottom)
    return f"{value:.6g} {below[len(bottom) :].strip()}".strip()
