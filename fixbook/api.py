"""Everything a plugin may import, and nothing else.

A plugin is a module with hook functions (see `fixbook.hooks.specs` for what there is), made
known by an entry point of the group `fixbook`:

    from fixbook.api import Answer, OHMS, Amps, Value, Volts, calculator, calculators_in, hook

    @calculator("ohms-of", formula="R = V/I")
    def ohms_of(voltage: Volts, current: Amps) -> Answer:
        '''What resistance draws this current?'''
        return Answer([Value("resistance", voltage / current, OHMS)])

    @hook
    def fixbook_calculators():
        return calculators_in(globals())
"""

from __future__ import annotations

from typing import Annotated

from pluggy import HookimplMarker

from fixbook.core.answer import (
    ARITHMETIC,
    MEMORY,
    PRACTICE,
    PUBLISHED,
    SECONDARY,
    Answer,
    Evidence,
    Source,
    Table,
    Value,
    Verdict,
    worst,
)
from fixbook.core.bench import Bench
from fixbook.core.calculation import Result
from fixbook.core.calculator import Calculator, calculator, calculators_in
from fixbook.core.cautions import (
    BELIEVE_NEITHER,
    DISCHARGE_TOOL,
    LASER_LIGHT,
    PROVE_DEAD,
    VENTING,
)
from fixbook.core.entry import SHARES, Entry, Opening, Part, Target, Window
from fixbook.core.inputs import Input, Limits, Measured, Span, above, within
from fixbook.core.links import Link, LinkTarget, links_in, read_link
from fixbook.core.plugins import (
    BackupFile,
    Command,
    Counts,
    ExtraDocument,
    ExtraDocuments,
    Finding,
    IndexFields,
    JobFacts,
    JobSource,
    LinkScheme,
    Measurement,
    PanelAction,
    PanelEvent,
    PanelField,
    PanelState,
    PanelWork,
    ProofRule,
    ScreenPanel,
    UnreadableRow,
)
from fixbook.core.problems import close_matches, did_you_mean, sentence
from fixbook.core.quantity import (
    AMPS,
    ANY,
    CELSIUS,
    CENTIMETRES,
    COULOMBS,
    COUNT,
    DECIBELS,
    FARADS,
    HENRIES,
    HERTZ,
    HOURS,
    JOULES,
    KELVIN,
    KELVIN_PER_WATT,
    KINDS,
    METRES,
    MICROAMPS,
    MINUTES,
    NUMBER,
    OHMS,
    PERCENT,
    RATIO,
    SECONDS,
    SQUARE_MM,
    VOLTS,
    WATTS,
    YEARS,
    Kind,
    Quantity,
    Range,
    Tolerance,
    show,
)
from fixbook.core.reading import read, read_range, read_tolerance
from fixbook.core.sheet import (
    BAD,
    DOUBT,
    GOOD,
    INFO,
    BarsBlock,
    Block,
    CautionBlock,
    CurveBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    ScaleBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.core.shop import Meter, Shop
from fixbook.core.stated import leading_quantity, only_quantity, whole_quantity
from fixbook.core.typed_input import read_value
from fixbook.core.typed_several import read_typed
from fixbook.core.verdict import Guarded, guarded
from fixbook.core.vocabulary import Sign, Unit, Vocabulary, likelihoods
from fixbook.errors import (
    CalculationError,
    FixbookError,
    QuantityError,
    UnknownEntryError,
    what_to_do,
)

hook = HookimplMarker("fixbook")
"""Marks a function as a hook."""

Ohms = Annotated[float, OHMS]
Farads = Annotated[float, FARADS]
Henries = Annotated[float, HENRIES]
Volts = Annotated[float, VOLTS]
Amps = Annotated[float, AMPS]
Microamps = Annotated[float, MICROAMPS]
Watts = Annotated[float, WATTS]
Hertz = Annotated[float, HERTZ]
Celsius = Annotated[float, CELSIUS]
Kelvin = Annotated[float, KELVIN]
Seconds = Annotated[float, SECONDS]
Minutes = Annotated[float, MINUTES]
Hours = Annotated[float, HOURS]
Years = Annotated[float, YEARS]
Coulombs = Annotated[float, COULOMBS]
Joules = Annotated[float, JOULES]
Ratio = Annotated[float, RATIO]
Percent = Annotated[float, PERCENT]
Count = Annotated[int, COUNT]
Number = Annotated[float, NUMBER]
Metres = Annotated[float, METRES]
Centimetres = Annotated[float, CENTIMETRES]
SquareMillimetres = Annotated[float, SQUARE_MM]
KelvinPerWatt = Annotated[float, KELVIN_PER_WATT]
OhmSpan = Annotated[Span, OHMS]

__all__ = [
    "AMPS", "ANY", "ARITHMETIC", "Amps", "Answer", "BAD", "BELIEVE_NEITHER", "BackupFile",
    "BarsBlock", "Bench", "Block", "CELSIUS", "CENTIMETRES", "COULOMBS", "COUNT",
    "CalculationError", "Calculator", "CautionBlock", "Celsius", "Centimetres", "Command",
    "Coulombs", "Count", "Counts", "CurveBlock", "DECIBELS", "DISCHARGE_TOOL", "DOUBT", "Entry",
    "Evidence", "ExtraDocument", "ExtraDocuments", "FARADS", "Farads", "Finding", "FixbookError",
    "GOOD", "Guarded", "HENRIES", "HERTZ", "HOURS", "Henries", "Hertz", "Hours", "INFO",
    "IndexFields", "Input", "JOULES", "JobFacts", "JobSource", "Joules", "KELVIN",
    "KELVIN_PER_WATT", "KINDS", "Kelvin", "KelvinPerWatt", "Kind", "LASER_LIGHT", "Limits",
    "Link", "LinkScheme", "LinkTarget", "MEMORY", "METRES", "MICROAMPS", "MINUTES", "Measured",
    "Measurement", "Meter", "Metres", "Microamps", "Minutes", "NUMBER", "Number", "OHMS",
    "OhmSpan", "Ohms", "Opening", "PERCENT", "PRACTICE", "PROVE_DEAD", "PUBLISHED", "PanelAction",
    "PanelBlock", "PanelEvent", "PanelField", "PanelState", "PanelWork", "Part", "Percent",
    "PictureBlock", "ProofRule", "Quantity", "QuantityError", "RATIO", "Range", "Ratio",
    "ReadingBlock", "Result", "SECONDARY", "SECONDS", "SHARES", "SQUARE_MM", "ScaleBlock",
    "ScreenPanel", "Seconds", "Shop", "Sign", "Source", "Span", "SquareMillimetres", "StepsBlock",
    "Table", "TableBlock", "Target", "TextBlock", "Tolerance", "Unit", "UnknownEntryError",
    "UnreadableRow", "VENTING", "VOLTS", "Value", "Verdict", "Vocabulary", "Volts", "WATTS",
    "Watts", "Window", "YEARS", "Years", "above", "calculator", "calculators_in", "close_matches",
    "did_you_mean", "guarded", "hook", "leading_quantity", "likelihoods", "links_in",
    "only_quantity", "read", "read_link", "read_range", "read_tolerance",
    "read_typed", "read_value", "sentence", "show", "what_to_do", "whole_quantity", "within", "worst",
]  # fmt: skip
