"""Running a calculator on what was typed: texts in, a result with everything shown out."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from fixbook.core.answer import ARITHMETIC, Answer, Table, Value
from fixbook.core.calculator import Calculator
from fixbook.core.inputs import Input, Measured, Span
from fixbook.core.problems import did_you_mean
from fixbook.core.quantity import Tolerance
from fixbook.core.typed_input import display, what_is_wanted
from fixbook.core.typed_several import read_typed
from fixbook.errors import CalculationError


class AnswerFaultError(TypeError):
    """A calculator's function gave something else than it said it would give."""


class Filled(NamedTuple):
    """One input with its value."""

    input: Input
    value: Any
    text: str
    """The value as a person reads it."""
    given: bool
    """False where it is the default."""


class Result(NamedTuple):
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

    An input that takes several takes every word after the first as well, and so does a text
    that is the last input: `network 1k 2k2 4k7`, `colour-bands brown black red gold`.
    CalculationError for an unknown name, too many words, or an input given twice that takes one.
    """
    given: dict[str, list[str]] = {}
    taking: Input | None = None
    for word in words:
        name, _, text = word.partition("=")
        if is_named(word):
            field, taking = calculator.input(name), None
            if field.name in given and not field.many:
                raise CalculationError(
                    f"{field.name} was given twice: {given[field.name][0]!r} and {text!r}",
                    input=field.name,
                    read=text,
                )
            given.setdefault(field.name, []).append(text)
        elif taking is not None and not taking.many:
            given[taking.name][0] += f" {word}"
        else:
            field = taking or _next_free(calculator, given, word)
            given.setdefault(field.name, []).append(word)
            last = field.form == "text" and field is calculator.inputs[-1]
            taking = field if field.many or last else None
    return given


def is_named(word: str) -> bool:
    """Say whether a word is `name=value`, rather than a value in the inputs' order."""
    return bool(re.match(r"\s*[A-Za-z][\w-]*\s*=", word))


def _next_free(calculator: Calculator, given: Mapping[str, object], word: str) -> Input:
    for field in calculator.inputs:
        if field.name not in given:
            return field
    raise CalculationError(
        f"{calculator.name} has no input left for {word!r}",
        read=word,
        hint="write name=value",
        choices=[one.name for one in calculator.inputs],
    )


def missing(calculator: Calculator, given: Mapping[str, Sequence[str]]) -> list[Input]:
    """Give the required inputs that nothing was typed for."""
    return [one for one in calculator.inputs if one.required and not given.get(one.name)]


def run(calculator: Calculator, given: Mapping[str, Sequence[str]]) -> Result:
    """Read what was typed, compute, and gather what must be shown.

    `given` maps full input names to the texts typed for each (`assign` makes it).
    CalculationError names the input, what was read and what would be right; AnswerFaultError
    says what is wrong with the calculator itself.
    """
    filled, notes = fill(calculator, given)
    if absent := missing(calculator, given):
        first = absent[0]
        raise CalculationError(
            f"{calculator.name} needs {first.name}{what_is_wanted(first)}",
            input=first.name,
            hint=f"write {first.name}=…",
            choices=list(first.choices),
        )
    _same_unit(filled)
    try:
        answer = calculator.function(**{one.input.attribute: one.value for one in filled})
    except OverflowError as error:
        raise CalculationError(
            f"these inputs give {calculator.name} no finite answer",
            hint="one of them is far outside what a bench meets",
        ) from error
    _check_answer(calculator, answer)
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


def fill(
    calculator: Calculator, given: Mapping[str, Sequence[str]]
) -> tuple[tuple[Filled, ...], list[str]]:
    """Read what was typed: each input with its value or its default, and what was assumed.

    A required input that nothing was typed for has the value None. CalculationError as in `run`.
    """
    notes: list[str] = []
    filled = tuple(_fill(one, given.get(one.name, ()), notes) for one in calculator.inputs)
    return filled, notes


def _fill(field: Input, texts: Sequence[str], notes: list[str]) -> Filled:
    if not texts:
        return Filled(field, field.default, display(field, field.default), given=False)
    value = read_typed(field, texts, notes)
    return Filled(field, value, display(field, value), given=True)


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
        pairs = ((one, getattr(value, one.attribute)) for one in field.fields)
        return {one.name: _json_value(one, got) for one, got in pairs}
    return value


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


def _check_answer(calculator: Calculator, answer: object) -> None:
    if not isinstance(answer, Answer):
        raise AnswerFaultError(f"it gave {type(answer).__name__}, not an Answer")
    if wrong := [one for one in answer.values if not isinstance(one, (Value, Table))]:
        raise AnswerFaultError(f"its Answer has {type(wrong[0]).__name__} among its values")
    names = [one.name for one in answer.values]
    if twice := [name for at, name in enumerate(names) if name in names[:at]]:
        raise AnswerFaultError(f"it gave the answer {twice[0]!r} twice")
    known = names if calculator.gives is None else calculator.gives
    if unnamed := [name for name in names if name not in known]:
        near = did_you_mean(unnamed[0], known, otherwise=f"it has {', '.join(known) or 'none'}")
        raise AnswerFaultError(f"it gave the answer {unnamed[0]!r}, which gives= lacks; {near}")


def _check_finite(calculator: Calculator, answer: Answer) -> None:
    for one in answer.values:
        for number in _numbers(one):
            if isinstance(number, float) and not math.isfinite(number):
                raise CalculationError(
                    f"these inputs give {calculator.name} no finite {one.name}",
                    hint="one of them is far outside what a bench meets",
                )


def _numbers(one: Value | Table) -> Iterable[object]:
    if isinstance(one, Table):
        return [cell for row in one.rows for cell in row.values()]
    return one.value if isinstance(one.value, (list, tuple)) else (one.value,)
