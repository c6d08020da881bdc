"""Asking for a calculator's inputs on a terminal, one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from fixbook.cli.prompting import ask_line
from fixbook.core.inputs import Input
from fixbook.core.typed_input import display
from fixbook.core.typed_several import read_typed
from fixbook.errors import CalculationError

if TYPE_CHECKING:
    from prompt_toolkit.completion import Completer

    from fixbook.cli.session import Session


def ask_inputs(form: Sequence[Input], session: Session) -> Mapping[str, str]:
    """Ask for each input, with its unit and default; an unusable answer is asked again."""
    if not session.can_ask:
        names = ", ".join(one.name for one in form)
        raise CalculationError(
            f"{names} is needed, and there is no terminal to ask on",
            input=form[0].name if form else "",
            hint="write name=value",
        )
    from prompt_toolkit import PromptSession

    prompt: PromptSession[str] = PromptSession()
    answers = {}
    for field in form:
        text = ask_line(
            question(field),
            session,
            partial(_usable, field),
            prompt=prompt,
            completer=completer(field),
            keep=not field.choices,
        )
        if text.strip():
            answers[field.name] = text.strip()
    return answers


def _usable(field: Input, typed: str) -> None:
    """Raise CalculationError for what the calculator could not use."""
    text = typed.strip()
    if text or field.required:
        read_typed(field, [text], [])


def completer(field: Input) -> Completer | None:
    """Give what completes an answer: whole choices, in any case, also where they hold blanks."""
    if not field.choices:
        return None
    from prompt_toolkit.completion import WordCompleter

    return WordCompleter(list(field.choices), sentence=True, ignore_case=True)


def question(field: Input) -> str:
    """Word the question for an input: `load, direct current [A]:`.

    Only where the answer has to be one of the choices are they listed; a text may be any other.
    """
    what = f", {field.help}" if field.help else ""
    unit = field.kind.shown if field.form in ("quantity", "range") else ""
    default = display(field, field.default)
    choices = f" ({', '.join(field.choices)})" if field.form == "choice" else ""
    return (
        f"{field.name.replace('_', ' ')}{what}{choices}"
        + (f" [{unit}]" if unit else "")
        + (f", {default} if left empty" if default else "")
        + ":"
    )
