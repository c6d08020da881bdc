"""What all markings have in common: how they are typed, refused and never trusted."""

from __future__ import annotations

import unicodedata

from fixbook.api import SECONDARY, CalculationError, Source

NO_PROOF = "A marking is never proof: measure before replacing."
IEC_60062 = Source(
    "IEC 60062:2016 and A1:2019, marking codes for resistors and capacitors, tables", SECONDARY
)
LONGEST = 12

# IEC 60063, from secondary copies
E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)  # fmt: skip
E96 = tuple(round(100 * 10 ** (place / 96)) for place in range(96))
"""The rounding rule gives the whole table of E96; of E192 it misses one value."""
E192 = tuple(
    {919: 920}.get(value, value)
    for value in (round(100 * 10 ** (place / 192)) for place in range(192))
)


def clean(name: str, text: str, *, blanks: bool = False) -> str:
    """Make a typed marking plain, its case kept; CalculationError where it is empty or too long."""
    plain = unicodedata.normalize("NFKC", text).replace("\u03bc", "u")
    plain = (" " if blanks else "").join(plain.split())
    if not 1 <= len(plain) <= LONGEST or not plain.isprintable():
        raise CalculationError(
            f"{name} has 1 to {LONGEST} characters, not {len(plain)}", input=name, read=text[:40]
        )
    return plain


def either(
    code: str | None, value: float | None, name: str, *, command: str
) -> tuple[str, None] | tuple[None, float]:
    """Give the one of a code and a value that was typed; CalculationError for both or none."""
    if code is not None and value is None:
        return clean("code", code), None
    if value is not None and code is None:
        return None, value
    how = "both were given" if code is not None else "neither was given"
    raise CalculationError(
        f"{command} takes a code or a {name}; {how}", input="code", choices=["code", name]
    )


def unknown(text: str, why: str, *choices: str, name: str = "code") -> CalculationError:
    """Give the error for a marking that cannot be decoded; it asks for a measurement."""
    return CalculationError(
        f"{text} is not decoded: {why}", input=name, read=text, hint="measure it", choices=choices
    )


def is_preferred(value: float, *tables: tuple[int, ...]) -> bool:
    """Say whether a value lies in one of the tables of preferred numbers, in any decade."""
    if value <= 0:
        return False
    wanted = float(f"{value:.9e}".partition("e")[0]) * 100
    return any(
        abs(wanted - entry * (100 / 10 ** (len(str(entry)) - 1))) < 1e-6
        for table in tables
        for entry in table
    )
