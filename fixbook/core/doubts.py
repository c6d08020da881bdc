"""Texts that are no value of a kind, or could be two: each is refused in words, with choices.

Choices are likely readings. Whoever catches the error keeps those that can really be read.
"""

from __future__ import annotations

from fixbook.core.numerals import DIGITS, Number, leading_digits, plain
from fixbook.core.quantity import ANY, FARADS, KINDS, RATIO, Kind, exact
from fixbook.core.range_text import split_range
from fixbook.core.typed import fraction_of, pieces_of, split_plus_minus
from fixbook.core.units import PREFIXES, SPOKEN_PREFIXES, UnitText, find_unit, take_apart
from fixbook.errors import QuantityError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from typing import NoReturn

KINDS_BY_UNIT = tuple(
    KINDS[name]
    for name in (
        "ohms", "farads", "henries", "volts", "amps", "watts", "hertz", "degrees", "celsius",
        "seconds", "coulombs", "joules", "percent", "square_mm", "metres", "kelvin_per_watt",
        "decibels", "newtons",
    )
)  # fmt: skip
"""One kind for each quantity, in the order in which a unit is looked for."""
_NOT_FINITE = ("nan", "inf", "infinity", "∞", "infinite")
_OVERLOAD = ("ol", "0l", "o.l", "o.l.")
_EVERY_PREFIX = "".join(PREFIXES)
_MICROFARAD = ("MFD", "mfd", "Mfd", "MF")
_TOLERANCES = ("B", "C", "D", "G", "H", "J", "K", "N", "Z")
_SLIPS = {("E", "resistance"): "ohm", ("L", "resistance"): "milliohm", ("g", "force"): "gf"}
_LIKELY_RATIO = 3  # a ratio above it is hardly meant: it is a percentage without its sign
_PICOFARAD = ("mmf", "mmfd", "uuf", "uufd")


def wanted(kind: Kind) -> str:
    """Say what would be right, as the second half of a sentence."""
    return f"{_with_article(kind.word)} is wanted here, as in {kind.example}"


def one_wanted(kind: Kind) -> str:
    """Say what would be right where several values were typed."""
    return f"one {kind.word} alone is wanted here, as in {kind.example}"


def type_one_of(choices: Sequence[str], kind: Kind) -> str:
    """Say what to type: one of the choices, or, where there are none, what would be right."""
    return f"type {' or '.join(dict.fromkeys(choices))}" if choices else wanted(kind)


def refuse_no_number(text: str, kind: Kind) -> None:
    """Refuse what stands for no number at all, and several values in one."""
    word = text.casefold().lstrip("+- ")
    if word.split(" ")[0] in _NOT_FINITE:
        _refuse(f"{text} is no value that can be measured; {wanted(kind)}")
    if word.split(" ")[0] in _OVERLOAD:
        _refuse(f"{text} is a meter's sign for overload, not a value; {wanted(kind)}")
    if not DIGITS.intersection(text):
        _refuse(f"{text} has no digit in it; {wanted(kind)}")
    if text[0] in "<>≤≥~≈=":
        _refuse(f"{text} is a limit; {one_wanted(kind)}", [text.lstrip("<>≤≥~≈= ")])
    parts = split_range(text)
    if parts is not None:
        _refuse(f"{text} is a range; {one_wanted(kind)}", parts)


def refuse_tolerance(text: str, kind: Kind) -> None:
    """Refuse a value that carries a tolerance."""
    parts = split_plus_minus(text)
    if parts is not None:
        values = [part for part in parts if part]
        _refuse(f"{text} holds a tolerance; {one_wanted(kind)}", values)


def refuse_fraction(text: str) -> None:
    """Refuse 1/4W: a slash also parts several values."""
    fraction = fraction_of(text)
    if fraction:
        _refuse(f"{text} is a fraction; type {fraction}", [fraction])


def refuse_code_or_exponent(text: str, numeral: str, rest: str, kind: Kind) -> None:
    """Refuse 4E7 for a resistance: some drawings mean 4.7 ohm by it."""
    if kind.word != "resistance":
        return
    fraction = leading_digits(rest[1:])
    if len(fraction) > 2:
        _refuse(f"{text} could be a code or a power of ten; {wanted(kind)}")
    power = exact(float(f"{numeral}e{fraction}"), kind)
    _refuse(
        f"{text} could be {numeral}.{fraction} ohm, as some drawings write it, or {power}; "
        "type one of these",
        [f"{numeral}.{fraction} ohm", power],
    )


def refuse_milli_or_mega(text: str, number: str, unit_text: str, kind: Kind) -> None:
    """Refuse a lone small m where it is as likely a slip for something else."""
    if unit_text != "m":
        return
    if kind.word == "resistance":
        choices = [f"{number} milliohm", f"{number} megaohm"]
        _refuse(f"{text} could be milliohm or megaohm; type {' or '.join(choices)}", choices)
    if kind.word == "time":
        choices = [f"{number} ms", f"{number} min"]
        _refuse(f"{text} could be milliseconds or minutes; type {' or '.join(choices)}", choices)


def old_capacitance(text: str, number: str, unit_text: str, kind: Kind) -> UnitText | None:
    """Read the old ways to write microfarad and picofarad; refuse mF, which could be either."""
    if kind not in (FARADS, ANY):
        return None
    squeezed = unit_text.replace(" ", "")
    farad = find_unit("capacitance", "F")
    if squeezed in _MICROFARAD:
        return UnitText("u", farad, f"{squeezed} read as microfarad")
    if squeezed.casefold() in _PICOFARAD:
        return UnitText("p", farad, f"{squeezed} read as picofarad")
    if squeezed.casefold() in ("mf", "mfd") or (squeezed in ("m", "M") and kind == FARADS):
        choices = [f"{number} millifarad", f"{number} microfarad"]
        _refuse(
            f"{text} could be millifarad, or microfarad on an old drawing; "
            f"type {' or '.join(choices)}",
            choices,
        )
    return None


def refuse_bare(text: str, number: Number, kind: Kind) -> None:
    """Refuse a number without a unit where it could mean several things."""
    value = plain(number.digits, number.exponent) if abs(number.exponent) < 30 else text
    if kind == RATIO and not 0 <= number.digits <= 10 ** min(40, max(0, -number.exponent)):
        choices = [f"{value} %"]
        if float(f"{number.digits}e{number.exponent}") <= _LIKELY_RATIO:
            choices.append(f"{plain(number.digits, number.exponent + 2)} %")
        _refuse(f"{text} is no fraction from 0 to 1; {wanted(kind)}", choices)
    if kind.bare is not None:
        return
    if kind.word != FARADS.word:
        _refuse(f"{text} has no unit; {wanted(kind)}", [f"{value} {kind.shown}"])
    code = three_digit_code(text)
    choices = [*code, f"{value} pF", f"{value} uF"]
    meaning = f"as a three-digit code it is {code[0]}; " if code else ""
    _refuse(f"{text} has no unit; {meaning}type {' or '.join(dict.fromkeys(choices))}", choices)


def three_digit_code(text: str) -> list[str]:
    """Read a capacitor's three-digit code: two digits, then a power of ten, in picofarad."""
    if len(text) != 3 or set(text) - DIGITS or text[2] == "7" or text[0] == "0":
        return []
    power = {"8": -2, "9": -1}.get(text[2], int(text[2]))
    return [exact(float(f"{text[:2]}e{power - 12}"), FARADS)]


def chip_code_note(text: str) -> tuple[str, ...]:
    """Say what a bare number would be as the code on a chip resistor; empty where it is none."""
    if len(text) not in (3, 4) or set(text) - DIGITS:
        return ()
    power = {"8": -2, "9": -1}.get(text[-1], int(text[-1]))  # as powers, beyond a gigaohm
    code = exact(float(f"{text[:-1]}e{power}"), KINDS["ohms"])
    return (f"as the code on a chip resistor {text} would be {code}",)


def refuse_code_letter(text: str, mantissa: str, letter: str, tail: str, kind: Kind) -> NoReturn:
    """Refuse a letter-and-digit code with a letter that this quantity is not written with."""
    for one in KINDS_BY_UNIT:
        if (
            letter in one.codes
            and find_unit(one.word, letter) is not None
            and one.word != kind.word
        ):
            picofarad = [f"{mantissa} pF"] if (letter, kind) == ("R", FARADS) else []
            _refuse(f"{text} is {_with_article(one.word)}; {wanted(kind)}", picofarad)
    swapped = letter.swapcase()
    choices = [f"{mantissa} {swapped}{kind.bare or kind.unit}"] if swapped in kind.codes else []
    _refuse(
        f"the letter {letter} in {text} is not one that {_with_article(kind.word)} is written "
        f"with; {wanted(kind)}",
        [*choices, *likely_pieces(text)],
    )


def refuse_code_tail(text: str, mantissa: str, letter: str, tail: str, kind: Kind) -> NoReturn:
    """Refuse what follows a letter-and-digit code and is no unit of this quantity."""
    code = f"{mantissa} {letter}"
    if tail == "%":
        choices = [code, f"{mantissa.partition('.')[0]} {letter}"]
        _refuse(f"{text} holds a tolerance; {one_wanted(kind)}", choices)
    if any(mark in DIGITS or mark in ";|,/" for mark in tail):
        _refuse(f"{text} is more than one value; {one_wanted(kind)}", likely_pieces(text))
    _refuse_wrong_kind(text, tail, kind)
    if _is_unit(letter + tail) or _is_unit(tail):
        _refuse(f"{text} has a unit or prefix twice; {wanted(kind)}", [code])
    _refuse(f"{tail} is no unit known here; {wanted(kind)}", [code])


def refuse_unread(text: str, number: str, unit_text: str, kind: Kind) -> NoReturn:
    """Refuse a text whose unit is none of this quantity, and say what it is instead."""
    if not number:
        _refuse(f"{text} does not begin with a number; {wanted(kind)}", likely_pieces(text))
    folded = unit_text.casefold().replace(" ", "")
    if kind.word == "temperature" and folded.removeprefix("°").removeprefix("deg") in (
        "f",
        "fahrenheit",
    ):
        celsius = f"{(float(number) - 32) / 1.8:.4g} degC"
        _refuse(
            f"{text} is Fahrenheit or a slip; type {number} degC or {celsius}",
            [f"{number} degC", celsius],
        )
    _refuse_marking(text, unit_text, kind)
    for one in KINDS_BY_UNIT if kind == ANY else [kind]:
        _refuse_other_prefix(text, number, unit_text, one)
    _refuse_wrong_kind(text, unit_text, kind)
    if any(letter in DIGITS or letter in ";|," for letter in unit_text):
        _refuse(f"{text} is more than one value; {one_wanted(kind)}", likely_pieces(text))
    if _is_two_units(unit_text.replace(" ", "")):
        _refuse(f"{text} has more than one unit or prefix; {wanted(kind)}")
    slip = _SLIPS.get((unit_text, kind.word))
    _refuse(
        f"{unit_text} is no unit known here; {wanted(kind)}", [f"{number} {slip}"] if slip else []
    )


def _refuse_marking(text: str, unit_text: str, kind: Kind) -> None:
    """Refuse 104K for a capacitance: the marking of a capacitor, with a letter for tolerance."""
    code = three_digit_code(text[:3])
    if kind == FARADS and code and text[3:].strip() == unit_text and unit_text in _TOLERANCES:
        _refuse(f"{text} is the marking of a capacitor; type {code[0]}", code)


def _refuse_wrong_kind(text: str, unit_text: str, kind: Kind) -> None:
    """Refuse a value of another quantity, and name that quantity."""
    fits = [
        (one, found)
        for one in KINDS_BY_UNIT
        if (found := take_apart(unit_text, one.word, _EVERY_PREFIX)) and found.unit is not None
    ]
    other = min(fits, key=lambda fit: not fit[1].is_exact, default=None)
    if other is not None and other[0].word != kind.word:
        _refuse(f"{text} is {_with_article(other[0].word)}; {wanted(kind)}")


def _refuse_other_prefix(text: str, number: str, unit_text: str, kind: Kind) -> None:
    """Refuse a prefix that this quantity does not take; offer the other case of its letter."""
    found = take_apart(unit_text, kind.word, _EVERY_PREFIX)
    unit = (found and found.unit) or find_unit(kind.word, kind.unit)
    if found is None or unit is None or not found.prefix:
        return
    other = found.prefix.swapcase()
    choices = [f"{number} {other}{unit.symbol}"] if other in kind.prefixes else []
    if found.unit is None and not choices:
        _refuse_wrong_kind(text, unit_text, kind)
    if found.prefix in kind.prefixes:
        return
    if found.unit is not None and unit.factor == 1:
        choices.append(exact(float(number) * 10.0 ** PREFIXES[found.prefix], kind))
    word = SPOKEN_PREFIXES[found.prefix]
    _refuse(
        f"{found.prefix} is {word}, and {_with_article(kind.word)} is not given in "
        f"{word}{unit.spoken}; {wanted(kind)}",
        choices,
    )


def likely_pieces(text: str) -> list[str]:
    """Give the parts of a text that holds several values."""
    pieces = pieces_of(text)
    return pieces if len(pieces) > 1 else []


def _is_two_units(unit_text: str) -> bool:
    return any(
        _is_unit(unit_text[:at]) and _is_unit(unit_text[at:]) for at in range(1, len(unit_text))
    )


def _is_unit(text: str) -> bool:
    found = (take_apart(text, one.word, one.prefixes) for one in KINDS_BY_UNIT)
    return any(one is not None and one.unit is not None for one in found)


def _with_article(word: str) -> str:
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _refuse(why: str, choices: Iterable[str] = ()) -> NoReturn:
    raise QuantityError(why, choices=tuple(dict.fromkeys(choices)))
