"""What was typed outside plugins' panels: taken from the state, written down, and put back."""

from __future__ import annotations

import json
from dataclasses import asdict, replace

from fixbook.screen.filling import KEPT, sums_left
from fixbook.screen.input_line import one_line
from fixbook.screen.requests import Kept, LeftSum, Pairs, Recalled
from fixbook.screen.searching import remember
from fixbook.screen.state import LONGEST_LINE, LONGEST_NOTE, State


def kept(state: State) -> Kept:
    """Give what should be there again when the screen is opened the next time."""
    return Kept(state.words, state.narrowed, sums_left(state), state.answers)


def recall(state: State, come: Recalled) -> State:
    """Put back what the last screen left; what was typed meanwhile stays and is not replaced."""
    was = come.kept
    recent = (*state.recent, *(one for one in come.recent if one not in state.recent))
    state = replace(state, recalled=True, recent=recent)
    sums = (*state.left_sums, *(one for one in was.sums if one not in state.left_sums))
    state = replace(state, left_sums=sums[:KEPT], answers=(*state.answers, *was.answers)[:KEPT])
    if state.turn:
        return replace(state, recent=remember(replace(state, words=was.words)).recent)
    again = replace(state, words=was.words, before=bool(was.words))
    again = replace(again, narrowed=was.narrowed, narrowed_before=was.narrowed)
    return replace(again, turn=1) if was.words or was.narrowed else again


def to_text(what: Kept) -> str:
    """Write it down; empty where there is nothing to be kept."""
    return "" if what == Kept() else json.dumps(asdict(what))


def from_text(text: str) -> Kept:
    """Read what was written down; what cannot be read of it counts as never typed."""
    try:
        found = json.loads(text) if text else {}
    except (ValueError, RecursionError):
        return Kept()
    if not isinstance(found, dict):
        return Kept()
    rows = [one for one in _list(found.get("sums")) if isinstance(one, dict)]
    sums = tuple(
        LeftSum(_text(one.get("name")), _pairs(one.get("given")), _pairs(one.get("texts")))
        for one in rows[:KEPT]
    )
    answers = [_text(one, LONGEST_NOTE) for one in _list(found.get("answers"))[:KEPT]]
    words, narrowed = _text(found.get("words")), _pairs(found.get("narrowed"))
    return Kept(words, narrowed, sums, tuple(one for one in answers if one))


def _list(found: object) -> list[object]:
    return found if isinstance(found, list) else []


def _pairs(found: object) -> Pairs:
    rows = [one for one in _list(found) if isinstance(one, list) and len(one) == 2]
    return tuple((_text(name), _text(text)) for name, text in rows)


def _text(found: object, longest: int = LONGEST_LINE) -> str:
    return one_line(found, longest) if isinstance(found, str) else ""
