"""Reading what was typed for one input of a calculator, and writing it back."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Any, NoReturn

from fixbook.core.inputs import Input, Limits, Measured, Span
from fixbook.core.problems import asked, close_matches, did_you_mean
from fixbook.core.quantity import Tolerance, show
from fixbook.core.reading import read, read_range, read_tolerance
from fixbook.errors import CalculationError

_FLAGS = {"yes": True, "true": True, "on": True, "1": True}
_FLAGS |= {"no": False, "false": False, "off": False, "0": False}
_FIELD = re.compile(r"\s+(?=[A-Za-z_][A-Za-z_-]*\s*=)")
_LONGEST_TEXT = 200


def read_value(field: Input, text: str, notes: list[str]) -> Any:
    """Read one text as one value of an input; its assumptions are added to `notes`.

    CalculationError where it cannot be read or is outside the valid range.
    """
    if field.form == "quantity":
        quantity = read(text, field.kind, name=field.name)
        notes += [f"{field.name}: {note}" for note in quantity.notes]
        _check_limits(field, quantity.value, text)
        return int(quantity.value) if field.kind.whole else quantity.value
    if field.form == "measured":
        quantity = read(text, field.kind, name=field.name)
        notes += [f"{field.name}: {note}" for note in quantity.notes]
        _check_limits(field, quantity.value, text)
        return Measured(quantity.value, quantity.kind)
    if field.form == "range":
        span = read_range(text, field.kind, name=field.name)
        if span.low is None or span.high is None:
            refuse(field, text, f"{field.name} needs both ends")
        notes += [f"{field.name}: {note}" for note in span.notes]
        _check_limits(field, span.low.value, text)
        _check_limits(field, span.high.value, text)
        return Span(span.low.value, span.high.value)
    if field.form == "tolerance":
        return read_tolerance(text, name=field.name)
    if field.form == "record":
        return _read_record(field, text, notes)
    return _read_word(field, text)


def is_read(field: Input, text: str) -> bool:
    """Say whether a text can be read as one value of an input."""
    try:
        read_value(field, text, [])
    except CalculationError:
        return False
    return True


def _read_word(field: Input, text: str) -> Any:
    word = " ".join(text.split())
    if field.form == "flag":
        if word.lower() not in _FLAGS:
            refuse(field, text, f"{field.name} is yes or no, not {text!r}", ("yes", "no"))
        return _FLAGS[word.lower()]
    if field.form == "choice":
        wanted = _plain(word)
        by_name = {_plain(choice): choice for choice in field.choices}
        if wanted in by_name:  # whole names alone: E9 is neither E96 nor E24
            return by_name[wanted]
        one_of = f"it is one of {', '.join(field.choices)}"
        near = [by_name[choice] for choice in close_matches(wanted, by_name)]
        why = f"{field.name} has no choice {text!r}; {asked(near, one_of)}"
        refuse(field, text, why, field.choices, hint=one_of if near else "")
    if len(text) > _LONGEST_TEXT or any(ord(letter) < 32 for letter in text):
        why = f"{field.name} is a text of at most {_LONGEST_TEXT} printable characters"
        refuse(field, text[:40], why)
    if not word:
        refuse(field, text, f"{field.name} is empty")
    return word


def _plain(choice: str) -> str:
    return choice.lower().replace(" ", "-").replace("_", "-")


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
            refuse(field, item, f"{field.name}: {item!r} is no 'name=value' of it; {hint}", names)
        if named[0].attribute in values:
            refuse(field, item, f"{field.name}: {named[0].name} was given twice")
        try:
            values[named[0].attribute] = read_value(named[0], typed.strip(), notes)
        except CalculationError as error:
            raise CalculationError(
                f"{field.name}: {error.why}",
                hint=error.hint,
                input=error.input,
                read=error.read,
                choices=error.choices,
            ) from error
    for one in field.fields:
        if one.required and one.attribute not in values:
            refuse(field, text, f"{field.name} needs {one.name}{what_is_wanted(one)}")
    if field.record is None:
        raise TypeError(f"the record {field.name} has no type")
    return field.record(**values)


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
        shown = ((one, getattr(value, one.attribute)) for one in field.fields)
        return " ".join(f"{one.name}={display(one, got)}" for one, got in shown if got is not None)
    return str(value)


def what_is_wanted(field: Input) -> str:
    """Say what an input wants, to stand behind its name: `: the load current [A]`."""
    if field.form == "choice":
        return f": one of {', '.join(field.choices)}"
    what = field.help or (field.kind.word if field.form in ("quantity", "range") else "")
    unit = field.kind.shown if field.form in ("quantity", "range") else ""
    return (f": {what}" if what else "") + (f" [{unit}]" if unit else "")


def _check_limits(field: Input, value: float, text: str) -> None:
    if math.isfinite(value) and field.limits.hold(value):
        return
    why = f"{field.name} of {text} is outside what is valid: {describe_limits(field)}"
    refuse(field, text, why)


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


def refuse(
    field: Input, text: str, why: str, choices: Iterable[str] = (), *, hint: str = ""
) -> NoReturn:
    """Raise the error that names an input, what was read and what would be right."""
    raise CalculationError(why, hint=hint, input=field.name, read=text, choices=list(choices))
