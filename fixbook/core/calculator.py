"""A calculator: a typed function whose signature is the form and whose docstring the help."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from fixbook.core.answer import Answer, Source
from fixbook.core.entry import Entry, Part, Target
from fixbook.core.inputs import Input, inputs_of
from fixbook.core.problems import did_you_mean
from fixbook.errors import CalculationError

Fits = Callable[[Target | Part, Entry], Mapping[str, str] | None]
"""Which inputs a target or part of a write-up gives, as typed; None where it does not fit."""

F = TypeVar("F", bound=Callable[..., Answer])

_CALCULATOR = "__fixbook_calculator__"


@dataclass(frozen=True)
class Calculator:
    """A named computation with typed inputs, an answer, sources and cautions."""

    name: str
    question: str
    """What it answers at the bench: the first line of the docstring."""
    help: str
    """The rest of the docstring."""
    function: Callable[..., Answer]
    formula: str = ""
    sources: tuple[Source, ...] = ()
    cautions: tuple[str, ...] = ()
    gives: Mapping[str, str] | None = None
    """Each answer's name with its meaning."""
    fits: Fits | None = None
    module: str = ""
    """The module that defines it."""

    @cached_property
    def inputs(self) -> tuple[Input, ...]:
        """The form, read from the signature when it is first needed: a millisecond each, which
        a sheet that only offers calculators never pays. TypeError for a wrong annotation."""
        return inputs_of(self.function)

    def input(self, name: str) -> Input:
        """Give an input by its name or any unique beginning of it; CalculationError otherwise."""
        names = [one.name for one in self.inputs]
        wanted = name.strip().lower().replace("-", "_")
        found = [one for one in names if one == wanted] or [
            one for one in names if wanted and one.startswith(wanted)
        ]
        if len(found) == 1:
            return self.inputs[names.index(found[0])]
        if found:
            why = f"{name!r} could be {' or '.join(found)}"
        else:
            why = f"{self.name} has no input {name!r}; " + did_you_mean(
                wanted, names, otherwise=f"it takes {', '.join(names)}"
            )
        raise CalculationError(why, input=name, read=name, choices=found or names)


def calculator(
    name: str,
    *,
    formula: str = "",
    sources: Sequence[Source] = (),
    cautions: Sequence[str] = (),
    gives: Mapping[str, str] | None = None,
    fits: Fits | None = None,
) -> Callable[[F], F]:
    """Make a typed function a calculator; the function itself stays callable as it was.

    Inputs come from the annotated parameters, the question from the docstring's first line.
    `formula` is in plain characters; `sources` say what the result rests on; `cautions` are
    sentences that are always shown; `gives` names the answers; `fits` says which target or
    part of a write-up it can be filled in from. TypeError where the function has no docstring.

        @calculator("ohms-of", formula="R = V/I", gives={"resistance": "V over I"})
        def ohms_of(voltage: Volts, current: Amps) -> Answer:
            '''What resistance draws this current?'''
            return Answer([Value("resistance", voltage / current, OHMS)])
    """

    def make(function: F) -> F:
        text = inspect.getdoc(function)
        if not text:
            raise TypeError(f"the calculator {name} needs a docstring: it is the help")
        question, _, help_ = text.partition("\n")
        made = Calculator(
            name=name,
            question=question.strip(),
            help=help_.strip(),
            function=function,
            formula=formula,
            sources=tuple(sources),
            cautions=tuple(cautions),
            gives=gives,
            fits=fits,
            module=function.__module__,
        )
        setattr(function, _CALCULATOR, made)
        return function

    return make


def calculators_in(namespace: Mapping[str, object]) -> list[Calculator]:
    """Give the calculators among a module's names, in the order of their definition.

    For a plugin's hook: `return calculators_in(globals())`.
    """
    found = (getattr(one, _CALCULATOR, None) for one in namespace.values())
    return list({one.name: one for one in found if isinstance(one, Calculator)}.values())
