"""Running a calculator on what was typed: texts in, a result with everything shown out."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fixbook.core.answer import ARITHMETIC, Answer, Value
from fixbook.core.calculator import Calculator
from fixbook.core.inputs import Input, Limits, Measured, Span
from fixbook.core.problems import did_you_mean
from fixbook.core.quantity import Tolerance, show
from fixbook.core.reading import read, read_range, read_tolerance
from fixbook.errors import CalculationError

_FLAGS = {"yes": True, "true": True, "on": True, "1": True}
_FLAGS |= {"no": False, "false": False, "off": False, "0": False}
_FIELD = re.compile(r"\s+(?=[A-Za-z_][A-Za-z_-]*\s*=)")
_LONGEST_TEXT = 200


@dataclass(frozen=True, slots=True)
class Filled:
    """One input with its value."""

    input: Input
    value: Any
    text: str
    """The value as a person reads it."""
    given: bool
    """False where it is the default."""


@dataclass(frozen=True, slots=True)
class Result:
    """A calculation: what went in, what came out, and all that must be shown with it."""

    calculator: Calculator
    inputs: tuple[Filled, ...]
    answer: Answer
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """Give the shape of `calc --json`."""
        return {
            "calculator": self.calculator.name,
            "inputs": {one.input.name: _input_json(one) for one in self.inputs},
            "answers": {one.name: one.to_json() for one in self.answer.values},
            "verdict": self.answer.verdict,
            "word": self.answer.word,
            "why": self.answer.why,
            "assumptions": list(self.assumptions),
            "notes": list(self.answer.notes),
            "cautions": list(self.cautions),
            "formula": self.calculator.formula,
            "sources": [str(source) for source in self.calculator.sources],
        }


def assign(calculator: Calculator, words: Iterable[str]) -> dict[str, list[str]]:
    """Give each input the texts typed for it, from `name=value` and positional words.

    CalculationError for an unknown name, too many words, or an input given twice that takes one.
    """
    given: dict[str, list[str]] = {}
    positions = iter(calculator.inputs)
    for word in words:
        name, equals, text = word.partition("=")
        if equals and re.fullmatch(r"\s*[A-Za-z][\w-]*\s*", name):
            field = calculator.input(name)
        else:
            text = word
            free = next((one for one in positions if one.name not in given), None)
            if free is None:
                raise CalculationError(
                    f"{calculator.name} has no input left for {word!r}",
                    read=word,
                    hint="write name=value",
                    choices=[one.name for one in calculator.inputs],
                )
            field = free
        if field.name in given and not field.many:
            raise CalculationError(
                f"{field.name} was given twice: {given[field.name][0]!r} and {text!r}",
                input=field.name,
                read=text,
            )
        given.setdefault(field.name, []).append(text)
    return given


def missing(calculator: Calculator, given: Mapping[str, Sequence[str]]) -> list[Input]:
    """Give the required inputs that nothing was typed for."""
    return [one for one in calculator.inputs if one.required and not given.get(one.name)]


def run(calculator: Calculator, given: Mapping[str, Sequence[str]]) -> Result:
    """Read what was typed, compute, and gather what must be shown.

    `given` maps full input names to the texts typed for each (`assign` makes it).
    CalculationError names the input, what was read and what would be right.
    """
    if absent := missing(calculator, given):
        first = absent[0]
        raise CalculationError(
            f"{calculator.name} needs {first.name}{_wanted(first)}",
            input=first.name,
            hint=f"write {first.name}=…",
            choices=list(first.choices),
        )
    notes: list[str] = []
    filled = tuple(_fill(one, given.get(one.name, ()), notes) for one in calculator.inputs)
    _same_unit(filled)
    try:
        answer = calculator.function(**{one.input.name: one.value for one in filled})
    except (ArithmeticError, OverflowError) as error:
        raise CalculationError(
            f"these inputs give {calculator.name} no finite answer",
            hint="one of them is far outside what a bench meets",
        ) from error
    _check_finite(calculator, answer)
    defaults = [
        f"{one.input.name} taken as {one.text}"
        + (f" ({one.input.evidence})" if one.input.evidence is not ARITHMETIC else "")
        for one in filled
        if not one.given and one.value is not None and one.value != ()
    ]
    return Result(
        calculator=calculator,
        inputs=filled,
        answer=answer,
        assumptions=tuple(dict.fromkeys([*notes, *defaults, *answer.assumptions])),
        cautions=tuple(dict.fromkeys([*calculator.cautions, *answer.cautions])),
    )


def read_value(field: Input, text: str, notes: list[str]) -> Any:
    """Read one text as an input's value; its assumptions are added to `notes`.

    CalculationError where it cannot be read or is outside the valid range.
    """
    if field.form == "quantity":
        quantity = read(text, field.kind, name=field.name)
        notes += [f"{field.name}: {note}" for note in quantity.notes]
        _check_limits(field, quantity.value, text)
        return quantity.value
    if field.form == "measured":
        quantity = read(text, field.kind, name=field.name)
        notes += [f"{field.name}: {note}" for note in quantity.notes]
        _check_limits(field, quantity.value, text)
        return Measured(quantity.value, quantity.kind)
    if field.form == "range":
        span = read_range(text, field.kind, name=field.name)
        if span.low is None or span.high is None:
            raise CalculationError(f"{field.name} needs both ends", input=field.name, read=text)
        notes += [f"{field.name}: {note}" for note in span.notes]
        _check_limits(field, span.low.value, text)
        _check_limits(field, span.high.value, text)
        return Span(span.low.value, span.high.value)
    if field.form == "tolerance":
        return read_tolerance(text, name=field.name)
    if field.form == "record":
        return _read_record(field, text, notes)
    return _read_word(field, text)


def _read_word(field: Input, text: str) -> Any:
    word = " ".join(text.split())
    if field.form == "flag":
        if word.lower() not in _FLAGS:
            _refuse(field, text, f"{field.name} is yes or no, not {text!r}", ("yes", "no"))
        return _FLAGS[word.lower()]
    if field.form == "choice":
        wanted = word.lower().replace(" ", "-").replace("_", "-")
        by_name = {choice.lower(): choice for choice in field.choices}
        near = [choice for choice in by_name if wanted and choice.startswith(wanted)]
        if wanted in by_name or len(near) == 1:
            return by_name.get(wanted) or by_name[near[0]]
        names = ", ".join(field.choices)
        hint = did_you_mean(wanted, by_name, otherwise=f"it is one of {names}")
        _refuse(field, text, f"{field.name} has no choice {text!r}; {hint}", field.choices)
    if len(text) > _LONGEST_TEXT or any(ord(letter) < 32 for letter in text):
        why = f"{field.name} is a text of at most {_LONGEST_TEXT} printable characters"
        _refuse(field, text[:40], why)
    if not word:
        _refuse(field, text, f"{field.name} is empty")
    return word


def _read_record(field: Input, text: str, notes: list[str]) -> Any:
    values: dict[str, Any] = {}
    for item in _FIELD.split(text.strip()):
        name, equals, typed = item.partition("=")
        wanted = name.strip().lower().replace("-", "_")
        named = [one for one in field.fields if one.name == wanted] or [
            one for one in field.fields if wanted and one.name.startswith(wanted)
        ]
        names = [one.name for one in field.fields]
        if not equals or len(named) != 1:
            hint = did_you_mean(wanted, names, otherwise=f"it takes {', '.join(names)}")
            _refuse(field, item, f"{field.name}: {item!r} is no 'name=value' of it; {hint}", names)
        if named[0].name in values:
            _refuse(field, item, f"{field.name}: {named[0].name} was given twice")
        values[named[0].name] = read_value(named[0], typed.strip(), notes)
    for one in field.fields:
        if one.required and one.name not in values:
            _refuse(field, text, f"{field.name} needs {one.name}{_wanted(one)}")
    if field.record is None:
        raise TypeError(f"the record {field.name} has no type")
    return field.record(**values)


def _fill(field: Input, texts: Sequence[str], notes: list[str]) -> Filled:
    if not texts:
        return Filled(field, field.default, display(field, field.default), given=False)
    if not field.many:
        value = read_value(field, texts[0], notes)
        return Filled(field, value, display(field, value), given=True)
    parts = [part.strip() for text in texts for part in text.split(";") if part.strip()]
    if not parts:
        _refuse(field, texts[0], f"{field.name} is empty")
    values = tuple(read_value(field, part, notes) for part in parts)
    return Filled(field, values, display(field, values), given=True)


def display(field: Input, value: Any) -> str:
    """Write an input's value as a person reads it."""
    if value is None:
        return ""
    if field.many and isinstance(value, tuple):
        return "; ".join(display_one(field, one) for one in value)
    return display_one(field, value)


def display_one(field: Input, value: Any) -> str:
    """Write one value of an input; of one that takes several, one of them."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return show(value, field.kind)
    if isinstance(value, Span):
        return f"{show(value.low, field.kind)} .. {show(value.high, field.kind)}"
    if isinstance(value, Measured):
        return show(value.value, value.kind, digits=6)
    if isinstance(value, Tolerance):
        return str(value)
    if field.form == "record":
        shown = ((one, getattr(value, one.name)) for one in field.fields)
        return " ".join(f"{one.name}={display(one, got)}" for one, got in shown if got is not None)
    return str(value)


def _input_json(filled: Filled) -> dict[str, object]:
    value = filled.value
    kind = filled.input.kind
    unit: str | None = kind.unit if filled.input.form in ("quantity", "range") else None
    if isinstance(value, Measured):
        unit, value = value.kind.unit, value.value
    return {"value": _json_value(filled.input, value), "unit": unit or None, "text": filled.text}


def _json_value(field: Input, value: Any) -> object:
    if isinstance(value, tuple):
        return [_json_value(field, one) for one in value]
    if isinstance(value, Span):
        return [value.low, value.high]
    if isinstance(value, Tolerance):
        return [-value.minus, value.plus]
    if isinstance(value, Measured):
        return value.value
    if field.form == "record" and value is not None:
        pairs = ((one, getattr(value, one.name)) for one in field.fields)
        return {one.name: _json_value(one, got) for one, got in pairs}
    return value


def _check_limits(field: Input, value: float, text: str) -> None:
    if math.isfinite(value) and field.limits.hold(value):
        return
    why = f"{field.name} of {text} is outside what is valid: {describe_limits(field)}"
    _refuse(field, text, why)


def describe_limits(field: Input) -> str:
    """Write an input's valid range in words; empty where any value is valid."""
    limits: Limits = field.limits
    parts = []
    if limits.low > float("-inf"):
        begin = "above" if limits.low_open else "from"
        parts.append(f"{begin} {show(limits.low, field.kind)}")
    if limits.high < float("inf"):
        parts.append(f"up to {show(limits.high, field.kind)}")
    return " ".join(parts)


def _wanted(field: Input) -> str:
    if field.form == "choice":
        return f": one of {', '.join(field.choices)}"
    what = field.help or (field.kind.word if field.form in ("quantity", "range") else "")
    unit = field.kind.shown if field.form in ("quantity", "range") else ""
    return (f": {what}" if what else "") + (f" [{unit}]" if unit else "")


def _same_unit(filled: Sequence[Filled]) -> None:
    seen: dict[str, str] = {}
    for one in filled:
        for value in one.value if isinstance(one.value, tuple) else (one.value,):
            if isinstance(value, Measured):
                seen.setdefault(value.kind.unit, one.input.name)
    if len(seen) > 1:
        (unit, name), (other, other_name), *_ = seen.items()
        raise CalculationError(
            f"{name} is in {unit or 'no unit'} and {other_name} in {other or 'no unit'}",
            input=other_name,
            read=other,
            hint="give all of them bare, or all in the same unit",
        )


def _check_finite(calculator: Calculator, answer: Answer) -> None:
    for one in answer.values:
        if isinstance(one, Value):
            numbers = one.value if isinstance(one.value, (list, tuple)) else (one.value,)
        else:
            numbers = [cell for row in one.rows for cell in row.values()]
        if any(isinstance(number, float) and not math.isfinite(number) for number in numbers):
            raise CalculationError(
                f"these inputs give {calculator.name} no finite {one.name}",
                hint="one of them is far outside what a bench meets",
            )


def _refuse(field: Input, text: str, why: str, choices: Iterable[str] = ()) -> None:
    raise CalculationError(why, input=field.name, read=text, choices=list(choices))
