"""The one function that the screen is: a state and an event give the next state."""

from __future__ import annotations

from dataclasses import replace

from fixbook.screen import choosing, filling, searching, sheeting
from fixbook.screen.events import (
    Answered,
    Do,
    Event,
    FormOpened,
    Hears,
    Resized,
    Typed,
    Wheel,
)
from fixbook.screen.input_line import type_text
from fixbook.screen.keeping import recall
from fixbook.screen.keys import help_lines
from fixbook.screen.panels import add_panels, press, put, show_panel, worked
from fixbook.screen.panels import move as move_panel
from fixbook.screen.requests import (
    Checked,
    Computed,
    Figures,
    Form,
    Found,
    Laid,
    Opened,
    Panels,
    Recalled,
    Sums,
    Worked,
)
from fixbook.screen.state import (
    ANSWERS,
    FORM,
    KEYS,
    LISTS,
    NARROW,
    PANEL,
    RECENT,
    SEARCH,
    SHEET,
    SUMS,
    State,
    back,
    go,
)

NARROWEST_SCREEN, LOWEST_SCREEN = 20, 6
MOVES = {"up": -1, "down": 1}
PAGES = {"page-up": -1, "page-down": 1}
PLACES = {"narrow": NARROW, "recent": RECENT, "sums": SUMS, "answers": ANSWERS, "keys": KEYS}


def step(state: State, event: Event) -> State:
    """Give the state after an event."""
    if isinstance(event, Typed):
        return type_text(state, event.text)
    if isinstance(event, Do):
        return do(replace(state, told="", entering=False), event)
    if isinstance(event, Resized):
        size = {"columns": max(NARROWEST_SCREEN, event.columns)}
        size["rows"] = max(LOWEST_SCREEN, event.rows)
        return searching.choose(replace(state, **size), state.chosen)  # type: ignore[arg-type]
    if isinstance(event, Wheel):
        return wheel(state, event)
    if isinstance(event, Hears):
        key = "told" if event.lasting else "hears"
        return replace(state, **{key: event.text})  # type: ignore[arg-type]
    if isinstance(event, FormOpened):
        form = event.answer if isinstance(event.answer, Form) else None
        return filling.opened(state, event.request, form, event.problem)
    return answered(state, event)


def answered(state: State, event: Answered) -> State:
    """Take an answer to where it belongs."""
    answer = event.answer
    if isinstance(answer, Found):
        return searching.found(state, answer)
    if isinstance(answer, Laid):
        return sheeting.laid(state, answer)
    if isinstance(answer, Computed):
        return filling.computed(state, answer)
    if isinstance(answer, Checked):
        return sheeting.checked(state, answer)
    if isinstance(answer, Worked):
        state = worked(state, answer)
        return replace(state, left=True) if state.leaving and not state.busy else state
    if isinstance(answer, Recalled):
        return recall(state, answer)
    if isinstance(answer, Panels):
        return add_panels(state, answer)
    if isinstance(answer, Figures):
        return replace(state, figures={**state.figures, **answer.lines})
    if isinstance(answer, Sums):
        return choosing.sums_came(state, answer.rows)
    if isinstance(answer, Opened):
        told = "; ".join(answer.notes) or state.told
        return replace(state, opened=answer, generation=state.generation + 1, told=told, figures={})
    return state


def do(state: State, event: Do) -> State:
    """Do what a key or a click means where the user is."""
    action = event.action
    if action == "leave":
        return leave(state)
    if action in PLACES:
        return back(state) if state.place == PLACES[action] else go(state, PLACES[action])
    if action == "panel":
        number = int(event.about or 0)
        if state.place == PANEL and state.panel == number:
            return back(state)
        return show_panel(state, number, event.when)
    if action == "to-search":
        return replace(state, place=SEARCH, came_from=())
    if state.place in LISTS:
        return do_in_list(state, event)
    doing = {SEARCH: do_in_search, SHEET: do_in_sheet, FORM: do_in_form, PANEL: do_in_panel}
    if state.place in doing:
        return doing[state.place](state, event)
    if action in MOVES or action in PAGES:
        return scroll_keys(state, MOVES.get(action, 0) + PAGES.get(action, 0) * (state.body - 1))
    return back(state) if action in ("back", "enter") else state


def scroll_keys(state: State, steps: int) -> State:
    """Scroll the screen of keys, where they do not fit on it."""
    most = max(0, len(help_lines(state)) - state.body)
    return replace(state, picked=max(0, min(most, state.picked + steps)))


def leave(state: State) -> State:
    """Leave; what a panel is writing is written first, unless the user insists."""
    state = searching.remember(filling.keep_answer(state))
    if state.busy and not state.leaving:
        return replace(state, leaving=True, told="one moment: the last of it is being written")
    return replace(state, left=True)


def do_in_search(state: State, event: Do) -> State:
    """Choose among the results, open one, or step back."""
    action = event.action
    if action in MOVES:
        return searching.choose(state, state.chosen + MOVES[action])
    if action in PAGES:
        return searching.choose(state, state.chosen + PAGES[action] * state.hits_in_sight)
    if action == "hit":
        at = int(event.about)
        return searching.enter(state) if at == state.chosen else searching.choose(state, at)
    if action in ("enter", "other", "stop"):
        inside = searching.enter(state)
        return sheeting.at_stop(inside, int(event.about)) if action == "stop" else inside
    if action == "erase":
        return searching.widen(state)
    if action == "back":
        return searching.search_for(state, "") if state.words else searching.widen(state)
    return state


def do_in_sheet(state: State, event: Do) -> State:
    """Move over the sheet, or do what the current stop is for."""
    action = event.action
    if action in MOVES:
        return sheeting.to_stop(state, MOVES[action])
    if action in PAGES:
        return sheeting.scroll(state, PAGES[action] * max(1, state.body - 2))
    if action in ("first", "last"):
        lines = len(state.laid.lines) if state.laid else 0
        return sheeting.scroll(state, -lines if action == "first" else lines)
    if action == "enter":
        return sheeting.enter(state, event.when)
    if action == "stop":
        there = sheeting.at_stop(state, int(event.about))
        kind = there.stop.kind if there.stop else ""
        return sheeting.enter(there, event.when) if kind in ("tick", "open") else there
    if action == "hit":
        outside = replace(state, place=SEARCH, came_from=(), trail=())
        return searching.choose(outside, int(event.about))
    if action == "other":
        return replace(state, place=SEARCH, came_from=())
    return sheeting.leave(state) if action in ("back", "erase") else state


def do_in_list(state: State, event: Do) -> State:
    """Choose a row of a list, or go back."""
    action = event.action
    if action in MOVES:
        return choosing.move(state, MOVES[action])
    if action in PAGES:
        return choosing.move(state, PAGES[action] * max(1, state.body - 1))
    if action == "row":
        return choosing.enter(replace(state, picked=int(event.about)), event.when)
    if action == "enter":
        return choosing.enter(state, event.when)
    if action == "back" and state.filter:
        return replace(state, filter="", picked=0)
    return back(state) if action in ("back", "erase", "other") else state


def do_in_form(state: State, event: Do) -> State:
    """Go from field to field of a calculator."""
    action = event.action
    if action in MOVES or action in ("other", "other-back"):
        return filling.move(state, MOVES.get(action, 1 if action == "other" else -1))
    if action in PAGES:
        return filling.scroll(state, PAGES[action] * max(1, state.body // 2))
    if action == "enter":
        return filling.enter(state)
    if action == "empty":
        return filling.empty(state)
    if action == "row" and state.filling:
        return filling.move(state, int(event.about) - state.filling.at)
    return filling.leave(state) if action == "back" else state


def do_in_panel(state: State, event: Do) -> State:
    """Go from row to row of a panel, or do what the row is for."""
    action = event.action
    if action in MOVES or action in ("other", "other-back"):
        return move_panel(state, MOVES.get(action, 1 if action == "other" else -1))
    if action in PAGES and state.paneled:
        top = max(0, state.paneled.top + PAGES[action] * max(1, state.body // 2))
        return put(state, replace(state.paneled, top=top))
    if action == "enter":
        return press(state, event.when)
    if action == "row" and state.paneled:
        there = move_panel(state, int(event.about) - state.paneled.at)
        acts = int(event.about) >= len(state.paneled.state.fields)
        return press(there, event.when) if acts else there
    return back(state) if action == "back" else state


def wheel(state: State, event: Wheel) -> State:
    """Scroll the side under the mouse."""
    left = state.place == SEARCH or (state.beside and event.side == "left")
    if event.side == "right" and state.beside and state.place in (SEARCH, SHEET, *LISTS):
        return sheeting.scroll(state, event.steps)
    if state.place in LISTS:
        return choosing.move(state, event.steps)
    if left and state.place in (SEARCH, SHEET):
        at = state.chosen + (1 if event.steps > 0 else -1)
        return searching.choose(state, at)
    if state.place == SHEET:
        return sheeting.scroll(state, event.steps)
    if state.place == FORM:
        return filling.scroll(state, event.steps)
    if state.place == KEYS:
        return scroll_keys(state, event.steps)
    return state
