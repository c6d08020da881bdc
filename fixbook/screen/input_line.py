"""The one line that is typed into: what it is for, what stands in it, and what typing changes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fixbook.screen.panels import type_into
from fixbook.screen.state import (
    FORM,
    LISTS,
    LONGEST_LINE,
    LONGEST_NOTE,
    PANEL,
    SEARCH,
    SHEET,
    Open,
    State,
)

LABELS = {
    SEARCH: "find",
    "narrow": "narrow by",
    "recent": "searched before",
    "sums": "sum",
    "answers": "answers",
}


@dataclass(frozen=True, slots=True)
class InputLine:
    """The input line as it should be."""

    label: str
    text: str
    takes: bool = True
    """Whether anything can be typed here."""
    before: bool = False
    """Whether the text was there before the user came; the first letter takes its place."""


def input_line(state: State) -> InputLine:
    """Give the input line of a state."""
    if state.place == SEARCH:
        return InputLine("find", state.words, before=state.before and bool(state.words))
    if state.place in LISTS:
        return InputLine(LABELS[state.place], state.filter)
    if state.place == SHEET:
        stop = state.stop
        if stop is not None and state.reading:
            return InputLine(f"reading of {stop.name}", state.open.read)
        return InputLine("sheet", "", takes=False)
    if state.place == FORM and state.filling is not None:
        at = state.filling.at
        name = state.filling.form.fields[at].name if state.filling.form.fields else ""
        text = state.filling.texts[at] if state.filling.texts else ""
        label = name.replace("_", " ")
        return InputLine(label, text, bool(name), before=at in state.filling.before)
    if state.place == PANEL and state.paneled is not None:
        fields = state.paneled.state.fields
        name = state.paneled.panel.name
        if state.paneled.at < len(fields):
            one = fields[state.paneled.at]
            return InputLine(f"{name}, {one.label}", one.text)
        return InputLine(name, "", takes=False)
    return InputLine("keys", "", takes=False)


def type_text(state: State, text: str) -> State:
    """Take what stands in the input line now."""
    line = input_line(state)
    text = one_line(text, LONGEST_NOTE if state.place == PANEL else LONGEST_LINE)
    if text == line.text:
        return state
    if not line.takes:
        said = "nothing is typed here; Escape goes back" if text else ""
        return replace(state, told=said)
    state = replace(state, told="", entering=False)
    if state.place == SEARCH:
        again = {"chosen": 0, "top": 0, "limit": 0, "turn": state.turn + 1, "before": False}
        narrowed = state.narrowed
        if state.before and not text:  # the last screen's search is over, narrowings and all
            narrowed = tuple(one for one in narrowed if one not in state.narrowed_before)
        return replace(state, words=text, narrowed=narrowed, **again)  # type: ignore[arg-type]
    if state.place in LISTS:
        return replace(state, filter=text, picked=0)
    if state.place == SHEET:
        now: Open = replace(state.open, read=text)
        return replace(state, open=now)
    if state.place == FORM and state.filling is not None:
        texts, at = list(state.filling.texts), state.filling.at
        texts[at] = text
        typed = replace(state.filling, texts=tuple(texts), before=state.filling.before - {at})
        return replace(state, filling=typed)
    return type_into(state, text)


def one_line(text: str, longest: int) -> str:
    """Bring what was typed or pasted to one line of a bearable length."""
    flat = text.replace("\r\n", " ").replace("\n", " ").replace("\r", " ").replace("\t", " ")
    return flat[:longest]
