"""A calculator's form: its fields, the verdict while typing, and answers that stay at hand."""

from __future__ import annotations

from dataclasses import replace

from fixbook.screen.requests import Computed, Form, WantForm
from fixbook.screen.state import FORM, Filling, State, back, go

KEPT = 20
"""Answers that stay at hand."""


def opened(state: State, want: WantForm, form: Form | None, problem: str) -> State:
    """Show a form that was asked for, filled in with what was given; or say why there is none."""
    if state.want != want:
        return state
    state = replace(state, want=None)
    if form is None:
        return replace(state, told=problem)
    state = keep_answer(state)
    texts = tuple(_given(field.name, want) for field in form.fields)
    first = next((at for at, text in enumerate(texts) if not text), 0)
    return go(replace(state, filling=Filling(form, texts, first)), FORM)


def computed(state: State, answer: Computed) -> State:
    """Take an answer, if it is about what stands in the form."""
    if state.filling is None or answer.request != state.compute():
        return state
    return replace(state, filling=replace(state.filling, computed=answer))


def move(state: State, steps: int) -> State:
    """Go to another field."""
    filling = state.filling
    if filling is None or not filling.texts:
        return state
    at = max(0, min(len(filling.texts) - 1, filling.at + steps))
    return replace(state, filling=replace(filling, at=at, top=0))


def scroll(state: State, rows: int) -> State:
    """Scroll the answer under the fields."""
    filling = state.filling
    if filling is None:
        return state
    lines = len(filling.computed.lines) if filling.computed else 0
    most = max(0, lines + len(filling.texts) + 4 - state.body)
    return replace(state, filling=replace(filling, top=max(0, min(most, filling.top + rows))))


def enter(state: State) -> State:
    """Go on to the next field; after the last one keep the answer."""
    filling = state.filling
    if filling is None:
        return state
    if filling.at < len(filling.texts) - 1:
        return move(state, 1)
    kept = keep_answer(state)
    if kept.answers == state.answers:
        why = filling.computed.wanting if filling.computed else ""
        return replace(state, told=why or "this answer is kept already")
    return replace(kept, told="the answer is kept among the answers")


def keep_answer(state: State) -> State:
    """Put the answer of the form among those at hand, once."""
    done = state.filling.computed if state.filling else None
    if done is None or not done.line or done.request != state.compute():
        return state
    others = (one for one in state.answers if one != done.line)
    return replace(state, answers=(done.line, *others)[:KEPT])


def leave(state: State) -> State:
    """Close the form; its answer stays at hand."""
    return replace(back(keep_answer(state)), filling=None)


def _given(name: str, want: WantForm) -> str:
    """Give what a field was given, by its name or a beginning of it."""
    exact = [text for key, text in want.given if key == name]
    near = [text for key, text in want.given if key and name.startswith(key.replace("-", "_"))]
    return "; ".join(exact or near)
