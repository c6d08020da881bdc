"""A calculator's inputs, read from its signature.

An input is an annotated parameter: `Annotated[float, AMPS, "direct current", within(0, 100)]`.
What stands in the annotation, in any order: a `Kind`, a text of help, `Limits`, an `Evidence`
for the default. The type says the form: float (a quantity), `Span` (a range), `Tolerance`,
`Literal` (a choice), str (text), bool (yes or no), a dataclass (a record), and `tuple[…, ...]`
for several of one of these. A parameter that may be None may be left out.
"""

from __future__ import annotations

import dataclasses
import inspect
import keyword
import types
from collections.abc import Callable
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from fixbook.core.answer import ARITHMETIC, Evidence
from fixbook.core.quantity import ANY, NUMBER, Kind, Tolerance


@dataclasses.dataclass(frozen=True, slots=True)
class Span:
    """A range as a calculator receives it: both ends in the kind's base unit, low below high."""

    low: float
    high: float


@dataclasses.dataclass(frozen=True, slots=True)
class Measured:
    """A value of any unit: the number in the base unit of what was typed."""

    value: float
    kind: Kind
    """The kind of its unit; NUMBER where a bare number was typed."""


@dataclasses.dataclass(frozen=True, slots=True)
class Limits:
    """The valid values of an input, in the kind's base unit."""

    low: float = float("-inf")
    high: float = float("inf")
    low_open: bool = False
    """True where the low end itself is not valid."""

    def hold(self, value: float) -> bool:
        """Say whether a value is valid."""
        return (value > self.low if self.low_open else value >= self.low) and value <= self.high


def within(low: float, high: float) -> Limits:
    """Valid from `low` to `high`, both included."""
    return Limits(low, high)


def above(low: float, high: float = float("inf")) -> Limits:
    """Valid above `low`, which itself is not valid, up to `high`."""
    return Limits(low, high, low_open=True)


FORMS = ("quantity", "range", "tolerance", "choice", "text", "flag", "record", "measured")


@dataclasses.dataclass(frozen=True, slots=True)
class Input:
    """One field of a calculator's form."""

    name: str
    form: str
    """One of FORMS."""
    kind: Kind = NUMBER
    many: bool = False
    required: bool = True
    default: Any = None
    choices: tuple[str, ...] = ()
    limits: Limits = Limits()
    help: str = ""
    evidence: Evidence = ARITHMETIC
    """How the default is known."""
    fields: tuple[Input, ...] = ()
    """The fields of a record."""
    record: type | None = None

    @property
    def attribute(self) -> str:
        """Its name in Python, where a word such as `class` takes a `_`."""
        return f"{self.name}_" if keyword.iskeyword(self.name) else self.name


def inputs_of(function: Callable[..., Any]) -> tuple[Input, ...]:
    """Read a calculator's inputs from its signature; TypeError where an annotation is unclear."""
    hints = get_type_hints(function, include_extras=True)
    return tuple(
        _input(name, hints.get(name), parameter.default)
        for name, parameter in inspect.signature(function).parameters.items()
    )


def _input(name: str, hint: Any, default: Any) -> Input:
    if hint is None:
        raise TypeError(f"the input {name} has no annotation")
    empty = (inspect.Parameter.empty, dataclasses.MISSING)
    required = any(default is one for one in empty)
    bare, notes, many = _unwrap(hint)
    found = Input(
        name=name.rstrip("_"),
        form="text",
        kind=next((note for note in notes if isinstance(note, Kind)), NUMBER),
        many=many,
        required=required,
        default=None if required else default,
        limits=next((note for note in notes if isinstance(note, Limits)), Limits()),
        help=next((note for note in notes if isinstance(note, str)), ""),
        evidence=next((note for note in notes if isinstance(note, Evidence)), ARITHMETIC),
    )
    if get_origin(bare) is Literal:
        return dataclasses.replace(found, form="choice", choices=get_args(bare))
    if dataclasses.is_dataclass(bare) and bare not in (Span, Tolerance, Measured):
        hints = get_type_hints(bare, include_extras=True)
        fields = tuple(
            _input(one.name, hints[one.name], one.default) for one in dataclasses.fields(bare)
        )
        record = bare if isinstance(bare, type) else None
        return dataclasses.replace(found, form="record", fields=fields, record=record)
    forms: dict[Any, str] = {
        float: "quantity",
        int: "quantity",
        Span: "range",
        Tolerance: "tolerance",
        Measured: "measured",
        str: "text",
        bool: "flag",
    }
    if bare not in forms:
        raise TypeError(f"the input {name} has a type that no form can ask for: {bare!r}")
    kind = ANY if bare is Measured else found.kind
    return dataclasses.replace(found, form=forms[bare], kind=kind)


def _unwrap(hint: Any) -> tuple[Any, tuple[Any, ...], bool]:
    """Take an annotation apart: the bare type, the notes on it, and whether several are meant."""
    notes: tuple[Any, ...] = ()
    many = False
    while True:
        origin = get_origin(hint)
        if origin is Annotated:
            hint, *more = get_args(hint)
            notes = (*notes, *more)
        elif origin in (Union, types.UnionType):
            inner = [one for one in get_args(hint) if one is not type(None)]
            if len(inner) != 1:
                raise TypeError(f"one type, or one type and None: {hint!r}")
            hint = inner[0]
        elif origin is tuple and len(get_args(hint)) == 2 and get_args(hint)[1] is Ellipsis:
            hint, many = get_args(hint)[0], True
        else:
            return hint, notes, many
