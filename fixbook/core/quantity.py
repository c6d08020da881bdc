"""Quantities: a number with its kind, as a calculator or a target receives it.

A value is in SI units, or, where the bench has no use for those, in the unit that the kind
names: degrees Celsius, per cent, decibels, degrees of angle. The kind also says which unit a
bare number takes when it is typed: a bare 2000 of the kind `hours` is 7.2e6 seconds.

`fixbook.core.reading` reads what was typed; `show`, `echo` and `exact` write it.
"""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.core import showing

show = showing.show
echo = showing.echo
exact = showing.exact

INFINITE = float("inf")
ANY_SIGN = -INFINITE


@dataclass(frozen=True, slots=True)
class Kind:
    """What a field wants: which quantity, how it is typed, how it is shown."""

    name: str
    """As in `KINDS`."""
    unit: str
    """The unit of a value; empty where it has none."""
    word: str
    """What it is called in a sentence: resistance, voltage, time."""
    example: str
    """One or two values as a person types them."""
    bare: str | None = ""
    """The unit that a bare number takes, `unit` unless said; None: a bare number is refused."""
    shown: str = ""
    """The unit it is shown in, `bare` or `unit` unless said."""
    prefixes: str = ""
    """Letters of the prefixes it is typed and shown with; empty: none."""
    codes: str = ""
    """Letters that may stand in the place of the decimal mark, as in 4k7."""
    low: float = 0.0
    """The lowest value there can be."""
    high: float = INFINITE
    """The highest value there can be."""
    whole: bool = False
    """True where only whole numbers make sense."""

    def __post_init__(self) -> None:
        if self.bare == "":
            object.__setattr__(self, "bare", self.unit)
        object.__setattr__(self, "shown", self.shown or self.bare or self.unit)

    def __hash__(self) -> int:
        return hash(self.name)

    def __repr__(self) -> str:
        return f"<Kind {self.name}>"


OHMS = Kind("ohms", "ohm", "resistance", "4k7 or 47 ohm", prefixes="umkMGT", codes="RrΩkKMGTL")
FARADS = Kind(
    "farads", "F", "capacitance", "100n or 4.7 uF", bare=None, prefixes="pnum", codes="pnumF"
)
HENRIES = Kind("henries", "H", "inductance", "10 uH", prefixes="pnum", codes="numH")
VOLTS = Kind("volts", "V", "voltage", "16 V or 6V3", prefixes="numk", codes="Vmk", low=ANY_SIGN)
AMPS = Kind("amps", "A", "current", "2.5 A or 20 mA", prefixes="fpnumk", codes="Aum", low=ANY_SIGN)
MICROAMPS = Kind(
    "microamps", "A", "current", "3 uA", bare="uA", shown="A", prefixes="fpnumk", codes="Aum"
)
WATTS = Kind("watts", "W", "power", "0.25 W", prefixes="pnumk", codes="Wm")
HERTZ = Kind("hertz", "Hz", "frequency", "50 Hz or 100 kHz", prefixes="kMGT", codes="kKM")
CELSIUS = Kind("celsius", "degC", "temperature", "105 C or 40 degC", low=-273.15)
KELVIN = Kind("kelvin", "K", "temperature difference", "5 K", low=ANY_SIGN)
SECONDS = Kind("seconds", "s", "time", "10 s, 5 min or 2 h", prefixes="pnum")
MINUTES = Kind("minutes", "s", "time", "40 min or 2 h", bare="min", prefixes="pnum")
HOURS = Kind("hours", "s", "time", "2000 h", bare="h", prefixes="pnum")
YEARS = Kind("years", "s", "time", "10 years", bare="y", prefixes="pnum")
COULOMBS = Kind("coulombs", "C", "charge", "220 mAh or 50 uC", prefixes="pnumk")
JOULES = Kind("joules", "J", "energy", "0.35 J", prefixes="numk")
RATIO = Kind("ratio", "", "ratio", "5 % or 0.05", shown="%", high=1e6)
PERCENT = Kind("percent", "%", "percentage", "0.5 %", low=ANY_SIGN)
COUNT = Kind("count", "", "whole number", "5", high=2.0**53, whole=True)
NUMBER = Kind("number", "", "number", "0.5 or 12", low=ANY_SIGN)
METRES = Kind("metres", "m", "length", "4 m or 12 mm", prefixes="numk")
CENTIMETRES = Kind("centimetres", "m", "length", "1.8 cm or 18 mm", bare="cm", prefixes="num")
SQUARE_MM = Kind("square_mm", "m2", "area", "1.5 mm2", bare="mm2")
KELVIN_PER_WATT = Kind("kelvin_per_watt", "K/W", "thermal resistance", "2.5 K/W")
DECIBELS = Kind("decibels", "dB", "level", "-60 dB", low=ANY_SIGN)
NEWTONS = Kind("newtons", "N", "force", "15 mN", prefixes="umk", low=ANY_SIGN)
DEGREES = Kind("degrees", "deg", "angle", "90 deg", low=ANY_SIGN)
ANY = Kind(
    "any",
    "",
    "value",
    "5, 4.7 kohm or 16 V",
    prefixes="fpnumkMGT",
    codes="RVAWFHpnumkKMGT",
    low=ANY_SIGN,
)
"""Whatever was typed. What is read has the kind of its own unit, or NUMBER where it has none."""

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        OHMS, FARADS, HENRIES, VOLTS, AMPS, MICROAMPS, WATTS, HERTZ, CELSIUS, KELVIN, SECONDS,
        MINUTES, HOURS, YEARS, COULOMBS, JOULES, RATIO, PERCENT, COUNT, NUMBER, METRES, CENTIMETRES,
        SQUARE_MM, KELVIN_PER_WATT, DECIBELS, NEWTONS, DEGREES, ANY,
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value with its kind, and how it was come by."""

    value: float
    """In `kind.unit`; always finite."""
    kind: Kind
    text: str = ""
    """As typed; empty where it was not typed."""
    notes: tuple[str, ...] = ()
    """What was assumed in reading it."""

    def __post_init__(self) -> None:
        if not abs(self.value) < INFINITE:
            raise ValueError(f"a quantity is finite, not {self.value}")

    @property
    def unit(self) -> str:
        """The unit of the value; empty where it has none."""
        return self.kind.unit


@dataclass(frozen=True, slots=True)
class Range:
    """Two ends, the low one never above the high one; None is no limit on that side."""

    low: Quantity | None
    high: Quantity | None

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ValueError("a range has at least one end")
        if self.lowest > self.highest:
            raise ValueError("a range rises")

    @property
    def lowest(self) -> float:
        """The low end as a number; minus infinity where there is none."""
        return self.low.value if self.low is not None else -INFINITE

    @property
    def highest(self) -> float:
        """The high end as a number; infinity where there is none."""
        return self.high.value if self.high is not None else INFINITE

    @property
    def notes(self) -> tuple[str, ...]:
        """What was assumed in reading either end."""
        ends = [end for end in (self.low, self.high) if end is not None]
        return tuple(dict.fromkeys(note for end in ends for note in end.notes))


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a value may lie below and above the one that is marked."""

    minus: float
    """A fraction from 0 to 1: 0.2 is 20 % below."""
    plus: float
    """A fraction, not negative: 0.8 is 80 % above."""

    def __post_init__(self) -> None:
        if not (0 <= self.minus <= 1 and 0 <= self.plus < INFINITE):
            raise ValueError(f"a tolerance of -{self.minus}/+{self.plus} cannot be")

    def __str__(self) -> str:
        plus = exact(self.plus, RATIO)
        minus = exact(self.minus, RATIO)
        return f"+-{plus}" if minus == plus else f"-{minus.removesuffix(' %')}/+{plus}"
