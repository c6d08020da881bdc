"""Units and prefixes as people type them, in either script.

A unit text is one of: a unit (`ohm`, `degC`), a prefix and a unit (`kohm`, `microfarad`), or a
prefix alone (`k`, `meg`), with `DC`, `AC`, `rms` or `pp` after volts and amperes. Prefixes keep
their case, since m and M differ by a factor of 1e9; units do not, except where the letter is a
prefix too.
"""

from __future__ import annotations

from dataclasses import dataclass, field

PREFIXES = {
    "f": -15, "p": -12, "n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12,
}  # fmt: skip
PREFIX_WORDS = {
    "femto": "f", "pico": "p", "nano": "n", "micro": "u", "milli": "m", "kilo": "k", "kil": "k",
    "mega": "M", "meg": "M", "giga": "G", "tera": "T",
}  # fmt: skip
SPOKEN_PREFIXES = {
    "f": "femto", "p": "pico", "n": "nano", "u": "micro", "m": "milli", "": "", "k": "kilo",
    "M": "mega", "G": "giga", "T": "tera",
}  # fmt: skip
QUALIFIERS = {
    "peak-to-peak": "peak to peak", "peaktopeak": "peak to peak", "pk-pk": "peak to peak",
    "p-p": "peak to peak", "pp": "peak to peak", "peak": "peak", "pk": "peak", "p": "peak",
    "rms": "", "dc": "", "ac": "", "~": "", "⎓": "",
}  # fmt: skip
"""What may follow a unit of voltage or current, and what it changes in the meaning."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: one of it is `factor` times ten to `exponent`, less `offset` hundredths."""

    symbol: str
    spoken: str
    factor: int = 1
    exponent: int = 0
    offset: int = 0
    """Hundredths to take away after scaling: kelvin to degrees Celsius."""

    @property
    def takes_prefix(self) -> bool:
        """Say whether prefixes are put before it: mAh, but not millihours."""
        return (self.factor == 1 and self.exponent == 0) or self.symbol in ("Ah", "Wh")


@dataclass(frozen=True, slots=True)
class UnitText:
    """A unit text taken apart."""

    prefix: str
    """A letter of PREFIXES; empty where there is none."""
    unit: Unit | None
    """None where a prefix stands alone."""
    note: str = ""
    """What was assumed."""
    is_exact: bool = field(default=True, kw_only=True)
    """False where the unit is spelt with other capitals than usual."""


_DEGREES_C = "degC °C C oC celsius centigrade degreeC degreesC degreecelsius degreescelsius"
_DEGREE = "deg degs degree degrees °"
_KELVIN = "K kelvin kelvins °K degK"
_PERCENT = ("% percent pct", "‰", "ppm")
_YEAR_S = 31_557_600  # 365.25 days, as in hours-a-day times 365.25

_TABLE: dict[str, tuple[tuple[Unit, str], ...]] = {
    "resistance": ((Unit("ohm", "ohm"), "ohm ohms Ω R"),),
    "capacitance": ((Unit("F", "farad"), "F farad farads fd"),),
    "inductance": ((Unit("H", "henry"), "H henry henries henrys Hy"),),
    "voltage": ((Unit("V", "volt"), "V volt volts"),),
    "current": ((Unit("A", "ampere"), "A amp amps ampere amperes"),),
    "power": ((Unit("W", "watt"), "W watt watts"),),
    "frequency": ((Unit("Hz", "hertz"), "Hz hertz cps"),),
    "temperature": (
        (Unit("degC", "degrees Celsius"), f"{_DEGREES_C} {_DEGREE}"),
        (Unit("K", "kelvin", offset=27315), _KELVIN),
    ),
    "temperature difference": ((Unit("K", "kelvin"), f"{_KELVIN} {_DEGREES_C} {_DEGREE}"),),
    "time": (
        (Unit("s", "seconds"), "s sec secs second seconds"),
        (Unit("min", "minutes", 60), "min mins minute minutes"),
        (Unit("h", "hours", 3600), "h hr hrs hour hours"),
        (Unit("d", "days", 86_400), "d day days"),
        (Unit("y", "years", _YEAR_S), "y yr yrs year years"),
    ),
    "charge": (
        (Unit("C", "coulomb"), "C coulomb coulombs As"),
        (Unit("Ah", "ampere-hour", 3600), "Ah ampere-hour ampere-hours amp-hour amp-hours"),
    ),
    "energy": (
        (Unit("J", "joule"), "J joule joules Ws"),
        (Unit("Wh", "watt-hour", 3600), "Wh watt-hour watt-hours"),
    ),
    "ratio": (
        (Unit("%", "per cent", 1, -2), _PERCENT[0]),
        (Unit("‰", "per mille", 1, -3), _PERCENT[1]),
        (Unit("ppm", "parts per million", 1, -6), _PERCENT[2]),
    ),
    "percentage": (
        (Unit("%", "per cent"), _PERCENT[0]),
        (Unit("‰", "per mille", 1, -1), _PERCENT[1]),
        (Unit("ppm", "parts per million", 1, -4), _PERCENT[2]),
    ),
    "whole number": ((Unit("", ""), "count counts digit digits dgt d pcs"),),
    "number": (),
    "length": (
        (Unit("m", "metre"), "m metre metres meter meters"),
        (Unit("cm", "centimetre", 1, -2), "cm centimetre centimetres centimeter centimeters"),
        (Unit("in", "inch", 254, -4), 'in inch inches "'),
    ),
    "area": (
        (
            Unit("mm2", "square millimetre", 1, -6),
            "mm2 mm^2 sqmm squaremillimetre squaremillimetres squaremillimeter squaremillimeters",
        ),
        (Unit("cm2", "square centimetre", 1, -4), "cm2 cm^2 sqcm"),
        (Unit("m2", "square metre"), "m2 m^2 sqm"),
    ),
    "thermal resistance": ((Unit("K/W", "kelvin per watt"), "K/W °C/W degC/W C/W kelvinperwatt"),),
    "level": ((Unit("dB", "decibel"), "dB decibel decibels"),),
    "force": (
        (Unit("N", "newton"), "N newton newtons"),
        (Unit("gf", "gram-force", 980_665, -8), "gf gram-force"),
    ),
    "angle": ((Unit("deg", "degrees"), _DEGREE),),
}
_EXACT = {
    word: {spelling: unit for unit, spellings in rows for spelling in spellings.split()}
    for word, rows in _TABLE.items()
}
_FOLDED = {
    word: {spelling.casefold(): unit for spelling, unit in spellings.items()}
    for word, spellings in _EXACT.items()
}


def find_unit(word: str, symbol: str) -> Unit | None:
    """Give the unit of a quantity by its exact spelling; None where there is none."""
    return _EXACT.get(word, {}).get(symbol)


def take_apart(text: str, word: str, prefixes: str) -> UnitText | None:
    """Read a unit text of the quantity `word` with these prefixes; None where it is none."""
    squeezed = text.replace(" ", "")
    found = _take_apart(squeezed, word, prefixes)
    if found is not None or word not in ("voltage", "current", "power"):
        return found
    for ending, meaning in QUALIFIERS.items():
        if squeezed.casefold().endswith(ending) and (word != "power" or ending == "rms"):
            found = _take_apart(squeezed[: -len(ending)], word, prefixes)
            if found is not None and found.unit is not None:
                note = f"given as {meaning}" if meaning else found.note
                return UnitText(found.prefix, found.unit, note, is_exact=found.is_exact)
    return None


def _take_apart(text: str, word: str, prefixes: str) -> UnitText | None:
    exact = _EXACT.get(word, {})
    folded = _FOLDED.get(word, {})
    if text in exact:
        return UnitText("", exact[text])
    for prefix, rest in _prefixed(text):
        unit = folded.get(rest.casefold())
        if prefix in prefixes and (not rest or (unit is not None and unit.takes_prefix)):
            return UnitText(prefix, unit, is_exact=rest in exact)
    if text.casefold() in folded:
        return UnitText("", folded[text.casefold()], is_exact=False)
    small = text[:1].lower()
    unit = folded.get(text[1:].casefold())
    if text[:1] in ("U", "N", "P") and small in prefixes and unit is not None:
        return UnitText(small, unit, f"{text[0]} read as {SPOKEN_PREFIXES[small]}", is_exact=False)
    return None


def _prefixed(text: str) -> list[tuple[str, str]]:
    """Give the ways to begin a text with a prefix, the longest first, each with what is left."""
    lowered = text.casefold()
    ways = [
        (letter, text[len(word) :])
        for word, letter in PREFIX_WORDS.items()
        if lowered.startswith(word)
    ]
    letter = "k" if text[:1] == "K" else text[:1]
    return [*ways, (letter, text[1:])] if letter and letter in PREFIXES else ways
