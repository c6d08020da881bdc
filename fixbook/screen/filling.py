"""A calculator's form: its fields, the verdict while typing, and answers that stay at hand."""

from __future__ import annotations

from dataclasses import replace

from fixbook.screen.requests import Computed, Form, LeftSum, Pairs, WantForm
from fixbook.screen.state import FORM, Filling, State, back, go

KEPT = 20
"""Answers that stay at hand, and forms that stay as they were left."""


def opened(state: State, want: WantForm, form: Form | None, problem: str) -> State:
    """Show a form that was asked for, as it was left, else filled in with what was given.

    Where there is none, say why.
    """
    if state.want != want:
        return state
    state = replace(state, want=None)
    if form is None:
        return replace(state, told=problem)
    state = put_aside(state)
    left = next((one for one in state.left_sums if _is_of(one, form.name, want.given)), None)
    was = dict(left.texts) if left else {}
    given = tuple(_given(field.name, want.given) for field in form.fields)
    texts = tuple(was.get(field.name, "") for field in form.fields) if left else given
    return go(_begin(state, Filling(form, texts, given=want.given)), FORM)


def empty(state: State) -> State:
    """Begin the form anew: what was typed is let go, what the sheet gave stands there again."""
    filling = state.filling
    if filling is None:
        return state
    texts = tuple(_given(field.name, filling.given) for field in filling.form.fields)
    return _begin(keep_answer(state), replace(filling, texts=texts, top=0, computed=None))


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
        return replace(state, told=why or "this answer is kept already; F5 shows the answers")
    return replace(kept, told="the answer is kept; F5 shows the answers")


def keep_answer(state: State) -> State:
    """Put the answer of the form among those at hand, once."""
    done = state.filling.computed if state.filling else None
    if done is None or not done.line or done.request != state.compute():
        return state
    others = (one for one in state.answers if one != done.line)
    return replace(state, answers=(done.line, *others)[:KEPT])


def leave(state: State) -> State:
    """Close the form; its answer stays at hand, and its lines are there when it is opened again."""
    return back(put_aside(state))


def put_aside(state: State) -> State:
    """Keep the form that is open, if there is one, and its answer."""
    return replace(keep_answer(state), left_sums=sums_left(state), filling=None)


def sums_left(state: State) -> tuple[LeftSum, ...]:
    """Give the forms as they were left, the one that is open first."""
    filling = state.filling
    if filling is None:
        return state.left_sums
    name, given, fields = filling.form.name, filling.given, filling.form.fields
    pairs = ((field.name, text) for field, text in zip(fields, filling.texts, strict=True))
    texts = tuple(pair for pair in pairs if pair[1])
    others = tuple(one for one in state.left_sums if not _is_of(one, name, given))
    fresh = tuple((field.name, text) for field in fields if (text := _given(field.name, given)))
    return others if texts == fresh else (LeftSum(name, given, texts), *others)[:KEPT]


def _is_of(left: LeftSum, name: str, given: Pairs) -> bool:
    return (left.name, left.given) == (name, given)


def _begin(state: State, filling: Filling) -> State:
    """Go to the first line with nothing in it; what stands in the others is from before."""
    filled = frozenset(at for at, text in enumerate(filling.texts) if text)
    first = next((at for at in range(len(filling.texts)) if at not in filled), 0)
    begun = replace(filling, at=first, before=filled, number=state.forms + 1)
    return replace(state, filling=begun, forms=begun.number)


def _given(name: str, given: Pairs) -> str:
    """Give what a field was given, by its name or a beginning of it."""
    exact = [text for key, text in given if key == name]
    near = [text for key, text in given if key and name.startswith(key.replace("-", "_"))]
    return "; ".join(exact or near)
