"""Plugins' panels inside the state: events go in, new states come out, failures switch off."""

from __future__ import annotations

from dataclasses import replace

from fixbook.core.entry import Entry
from fixbook.core.plugins import PanelEvent, PanelState
from fixbook.screen.requests import Panels, Worked
from fixbook.screen.state import PANEL, Paneled, State, go

HELD_BACK = ("chosen", "offered", "read")
"""Events that wait while a panel's work is being done: none of them may be lost."""


def add_panels(state: State, come: Panels) -> State:
    """Take the plugins' panels in, each with the draft that was left behind."""
    state = replace(state, panels=tuple(Paneled(one, one.begin) for one in come.panels))
    for one in come.panels:
        state = send(state, one.name, PanelEvent("begun", text=come.drafts.get(one.name, "")))
    return state


def send(state: State, name: str, event: PanelEvent) -> State:
    """Let something happen to a panel; one whose function raises is switched off."""
    return _advance(state, name, lambda one: _stepped(one, event))


def worked(state: State, done: Worked) -> State:
    """Take the answer to a panel's work, and then what waited for it."""
    kind = "failed" if done.problem else "done"
    event = PanelEvent(kind, done.request.work.name, done.problem, answer=done.answer)
    paneled = next((one for one in state.panels if one.panel.name == done.request.panel), None)
    if paneled is None or paneled.state.work is not done.request.work:
        return state
    waiting = paneled.waiting
    freed = replace(paneled, waiting=(), state=replace(paneled.state, work=None))
    state = _advance(state, done.request.panel, lambda _: _stepped(freed, event))
    for one in waiting:
        state = _send_late(state, done.request.panel, one)
    return state


def offer(state: State, event: PanelEvent) -> State:
    """Let every panel that takes such things have it."""
    for one in state.panels:
        if event.kind in one.panel.takes:
            state = send(state, one.panel.name, event)
    return state


def show_panel(state: State, number: int, when: str) -> State:
    """Turn to a panel."""
    if number >= len(state.panels):
        return replace(state, told="there is no such panel")
    state = put(replace(go(state, PANEL), panel=number), replace(state.panels[number], when=when))
    return turned_to(state)


def turned_to(state: State) -> State:
    """Tell the panel in sight that the user is there, with the words searched and the sheet."""
    paneled = state.paneled
    if state.place != PANEL or paneled is None:
        return state
    event = PanelEvent("opened", "", _words(state), entry_in_sight(state), paneled.when)
    return send(state, paneled.panel.name, event)


def _words(state: State) -> str:
    """Give the words that are searched."""
    return " ".join(state.words.split())


def entry_in_sight(state: State) -> Entry | None:
    """Give the write-up whose sheet is open, once it is laid out."""
    laid = state.laid
    return laid.entry if laid is not None and laid.request.key == state.open.key else None


def type_into(state: State, text: str) -> State:
    """Put what was typed into the current line of the panel in sight."""
    paneled = state.paneled
    if paneled is None or paneled.at >= len(paneled.state.fields):
        return state
    field = paneled.state.fields[paneled.at]
    fields = list(paneled.state.fields)
    fields[paneled.at] = replace(field, text=text)
    typed = replace(paneled, state=replace(paneled.state, fields=tuple(fields)))
    event = PanelEvent("typed", field.name, text)
    return _advance(state, paneled.panel.name, lambda _: _stepped(typed, event))


def press(state: State, when: str, about: str = "") -> State:
    """Do what Enter does in a panel: the line's or the row's action, or on to the next line."""
    paneled = state.paneled
    if paneled is None:
        return state
    fields, actions = paneled.state.fields, paneled.state.actions
    if about:
        name = about
    elif paneled.at < len(fields):
        name = fields[paneled.at].enter
    else:
        name = actions[paneled.at - len(fields)].name if paneled.at < _rows(paneled) else ""
    if not name:
        return move(state, 1)
    event = PanelEvent("chosen", name, _words(state), entry_in_sight(state), when)
    return send(state, paneled.panel.name, event)


def move(state: State, steps: int) -> State:
    """Go to another row of the panel."""
    paneled = state.paneled
    if paneled is None:
        return state
    at = max(0, min(_rows(paneled) - 1, paneled.at + steps))
    return put(state, replace(paneled, at=at, top=0))


def put(state: State, paneled: Paneled) -> State:
    """Put a panel in the place of the one of its name."""
    name = paneled.panel.name
    panels = (paneled if one.panel.name == name else one for one in state.panels)
    return replace(state, panels=tuple(panels))


def _send_late(state: State, name: str, event: PanelEvent) -> State:
    """Let what waited happen; an action that is offered no more was meant for what was there."""
    paneled = next((one for one in state.panels if one.panel.name == name), None)
    if paneled is None:
        return state
    offered = {one.name for one in paneled.state.actions}
    offered |= {one.enter for one in paneled.state.fields}
    return (
        state if event.kind == "chosen" and event.name not in offered else send(state, name, event)
    )


def _rows(paneled: Paneled) -> int:
    return len(paneled.state.fields) + len(paneled.state.actions)


def _stepped(paneled: Paneled, event: PanelEvent) -> Paneled:
    if paneled.state.work is not None and event.kind in HELD_BACK:
        return replace(paneled, waiting=(*paneled.waiting, event))
    found = paneled.panel.step(paneled.state, event)
    if not isinstance(found, PanelState):
        raise TypeError(f"it gave {type(found).__name__}, not a PanelState")
    new = replace(paneled, state=found)
    names, before = _names(found), _names(paneled.state)
    if names == before:
        return new
    if paneled.at < len(before) and before[paneled.at] in names:
        return replace(new, at=names.index(before[paneled.at]))  # the same row, wherever it is now
    if [field.name for field in paneled.state.fields] != [field.name for field in found.fields]:
        return replace(new, at=0, top=0)
    return replace(new, at=max(0, min(new.at, _rows(new) - 1)))


def _names(state: PanelState) -> list[tuple[str, str]]:
    """Name the rows of a panel."""
    fields = [("field", one.name) for one in state.fields]
    return fields + [("action", one.name) for one in state.actions]


def _advance(state: State, name: str, change: object) -> State:
    paneled = next((one for one in state.panels if one.panel.name == name), None)
    if paneled is None or not callable(change):
        return state
    try:
        return put(state, change(paneled))
    except Exception as error:  # noqa: BLE001  # it is the plugin's code
        why = f"the panel {name} failed ({type(error).__name__}: {error}); it is off for this run"
        left = tuple(one for one in state.panels if one.panel.name != name)
        place = {"place": "search", "came_from": ()} if state.place == PANEL else {}
        off = (*state.off, (name, why))
        return replace(state, panels=left, panel=0, off=off, told=why, **place)  # type: ignore[arg-type]
