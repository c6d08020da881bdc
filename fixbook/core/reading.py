"""Reading what a technician types: a value, a range, a tolerance.

    value      = [sign] number [prefix] [unit] | [sign] code [unit]
    code       = [digits] letter digits           the letter stands for the decimal mark: 4k7
    range      = value separator value            450..600, 450-600, 450 to 600
    open range = value ".." | ".." value
    tolerance  = ["+-"] number "%" | "-" number "/" "+" number "%"

Numbers are described in `numerals`, units in `units`, separators in `range_text`. The kind of
the field decides which units and prefixes are right and what a bare number means. What could be
read in two ways is refused, and the refusal offers both.
"""

from __future__ import annotations

from fixbook.core.doubts import chip_code_note
from fixbook.core.quantity import Kind, Quantity, Range, Tolerance
from fixbook.core.range_ends import parse_range
from fixbook.core.tolerance_text import parse_tolerance
from fixbook.core.typed import LONGEST, clean
from fixbook.core.value_text import parse_value
from fixbook.errors import QuantityError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeVar

    Found = TypeVar("Found")


def read(text: str, kind: Kind, *, name: str = "") -> Quantity:
    """Read one value; QuantityError where it is none of this kind.

    With a name the error says it before all else: `supply: 20mA is a current; …`.

    >>> from fixbook.core.quantity import OHMS
    >>> read("4k7", OHMS).value
    4700.0
    """

    def parse(typed: str) -> Quantity:
        plain = clean(typed)
        parsed = parse_value(plain, kind)
        found = parsed.quantity
        is_code = parsed.bare and kind.word == "resistance"
        notes = found.notes + (chip_code_note(plain) if is_code else ())
        return Quantity(found.value, found.kind, typed, notes)

    return _read(text, name, parse)


def read_range(text: str, kind: Kind, *, name: str = "", open_ended: bool = False) -> Range:
    """Read a range; with `open_ended` one end may be missing, and is None.

    QuantityError where it is no rising range of this kind.

    >>> from fixbook.core.quantity import OHMS
    >>> read_range("4.7..10k", OHMS).lowest
    4700.0
    """
    return _read(text, name, lambda typed: parse_range(clean(typed), kind, open_ended))


def read_tolerance(text: str, *, name: str = "") -> Tolerance:
    """Read a tolerance; QuantityError where it is none.

    >>> read_tolerance("-20/+80 %")
    Tolerance(minus=0.2, plus=0.8)
    """
    return _read(text, name, lambda typed: parse_tolerance(clean(typed)))


def _read(text: str, name: str, parse: Callable[[str], Found]) -> Found:
    try:
        return parse(text)
    except QuantityError as refusal:
        choices = [choice for choice in refusal.choices if _is_read(choice, parse)]
        raise QuantityError(
            f"{name}: {refusal.why}" if name else refusal.why,
            hint=refusal.hint,
            input=name,
            read=text[:LONGEST],
            choices=tuple(dict.fromkeys(choices)),
        ) from None


def _is_read(choice: str, parse: Callable[[str], object]) -> bool:
    try:
        parse(choice)
    except QuantityError:
        return False
    return True
