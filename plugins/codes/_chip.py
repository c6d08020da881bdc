"""Three and four digits on chip resistors."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated

from fixbook.api import (
    OHMS,
    SECONDARY,
    Answer,
    CalculationError,
    Entry,
    FixbookError,
    Ohms,
    Part,
    Source,
    Table,
    Target,
    calculator,
    read,
    show,
    within,
)

from ._marking import E24, E96, IEC_60062, NO_PROOF, either, is_preferred, unknown

_SMALL = {"8": -2, "9": -1}
"""What a last digit of 8 or 9 means by another rule."""
_HIGHEST = 99e9


def decode(code: str) -> list[tuple[float, str]]:
    """Give every resistance a code may stand for, best first, with a note each."""
    plain = code.upper()
    if re.fullmatch("0+", plain):
        return [(0.0, "link")]
    if re.fullmatch(r"\d+R\d+|R\d+", plain):
        return [(float(plain.replace("R", ".")), "R is the decimal mark")]
    if re.fullmatch(r"\d\dR", plain):
        raise unknown(code, "R stands before or between digits here", f"eia96-code {plain}")
    if not re.fullmatch(r"\d{3,4}", plain):
        raise unknown(code, "three or four digits are wanted, with R as decimal mark")
    return list(_digits(plain))


def _digits(code: str) -> Iterator[tuple[float, str]]:
    mantissa, last = code[:-1], code[-1]
    usual = "5 % or 2 %" if len(code) == 3 else "1 %"
    odd = "" if _is_usual(mantissa) else "; no preferred value"
    if last in _SMALL:
        yield (
            float(f"{mantissa}e{_SMALL[last]}"),
            f"{last} as a multiplier below one, seen in a service manual{odd}",
        )
        yield float(f"{mantissa}e{last}"), f"by the rule, but not plausible{odd}"
        return
    not_plain = f", not {int(code)}" if last == "0" else ""
    value = float(f"{mantissa}e{last}")
    yield value, f"usually {usual}{not_plain}{odd}"


def _is_usual(mantissa: str) -> bool:
    return mantissa[0] != "0" and is_preferred(
        float(mantissa), E24, *((E96,) if len(mantissa) == 3 else ())
    )


def encode(resistance: float) -> list[str]:
    """Give the three- and four-character codes that say a resistance exactly; maybe none."""
    if resistance == 0:
        return ["000", "0000"]
    return [code for digits in (2, 3) if (code := _code(resistance, digits))]


def _code(resistance: float, digits: int) -> str:
    """Give the code with so many digits of value; empty where there is no exact one."""
    figures, _, power = f"{resistance:.{digits - 1}e}".partition("e")
    if abs(float(f"{figures}e{power}") - resistance) > 1e-9 * resistance:
        return ""
    mantissa, exponent = figures.replace(".", ""), int(power) - digits + 1
    if 0 <= exponent <= 7:
        return f"{mantissa}{exponent}"
    if 0 <= int(power) < digits - 1:
        return f"{mantissa[: int(power) + 1]}R{mantissa[int(power) + 1 :]}"
    places = f"{resistance:.{digits}f}".partition(".")[2]
    exact = abs(float(f"0.{places}") - resistance) <= 1e-9 * resistance
    return f"R{places}" if resistance < 1 and exact else ""


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Say how a chip resistor of the write-up is marked."""
    if not isinstance(where, Part):
        return None
    words = f"{where.is_} {where.body}".lower()
    if "resistor" not in words or not any(one in words for one in ("chip", "smd", "surface")):
        return None
    try:
        value = read(where.value, OHMS).value
        return {"resistance": where.value} if value <= _HIGHEST and encode(value) else None
    except FixbookError:
        return None


@calculator(
    "chip-resistor-code",
    formula="three digits AB C = AB 10^C;  four digits ABC D = ABC 10^D;  R is the decimal mark",
    sources=[
        IEC_60062,
        Source("an instrument maker's user manual, chip code appendix"),
        Source("a service manual, multiplier table: last digit 8 and 9"),
        Source("three digits 5 % or 2 %, four digits 1 %, public tables", SECONDARY),
    ],
    cautions=[NO_PROOF],
    gives={"readings": "every resistance the code may stand for, best first, with its code"},
    fits=_fits,
)
def chip_resistor_code(
    code: Annotated[str | None, "the digits on the chip, as in 103 or 4R7"] = None,
    resistance: Annotated[Ohms | None, "to find its codes instead", within(0, _HIGHEST)] = None,
) -> Answer:
    """What resistance do the digits on this chip say, or how is this resistance marked?

    The last digit is the power of ten: 220 is 22 ohm and 1000 is 100 ohm. R is the decimal
    mark. One or more zeros alone are a link. A last digit of 8 or 9 would be above a gigaohm;
    one service manual uses them for hundredths and tenths, so that is listed first. Three
    digits normally mean 5 % or 2 %, four digits 1 %.

    Example: 103 is 10 kohm, 1002 is 10 kohm, R005 is 5 mohm.
    """
    typed, wanted = either(code, resistance, "resistance", command="chip-resistor-code")
    if typed is not None:
        rows = [(typed.upper(), value, note) for value, note in decode(typed)]
    else:
        assert wanted is not None
        rows = [(mark, *decode(mark)[0]) for mark in encode(wanted)]
        if not rows:
            text = show(wanted, OHMS, digits=6)
            raise CalculationError(
                f"{text} has no code of three or four digits: it has too many digits, or is too small or too large",
                input="resistance",
                read=text,
            )
    return Answer(
        [
            Table(
                "readings",
                {"code": None, "resistance": OHMS, "note": None},
                [dict(zip(("code", "resistance", "note"), row, strict=True)) for row in rows],
            )
        ],
        notes=["more than one value is possible: measure"]
        if len({row[1] for row in rows}) > 1
        else [],
    )
