"""A sheet: moving over it, ticking steps, reading targets, following links and coming back."""

from __future__ import annotations

import shlex
from dataclasses import replace

from fixbook.core.plugins import PanelEvent
from fixbook.screen.panels import entry_in_sight, offer, turned_to
from fixbook.screen.requests import OPEN, READ, TICK, Checked, Laid, WantForm
from fixbook.screen.state import SEARCH, SHEET, Open, State, back, go

MOST_TRAIL = 100


def laid(state: State, answer: Laid) -> State:
    """Take a sheet that was laid out, if it is still the one that is open."""
    if answer.request.key != state.open.key:
        return state
    late = entry_in_sight(state) is None  # a panel that was turned to meanwhile knows no sheet yet
    state = replace(state, laid=answer)
    stop = min(state.open.stop, len(answer.stops) - 1)
    top = max(0, min(state.open.top, len(answer.lines) - 1))
    state = replace(state, open=replace(state.open, stop=stop, top=top))
    return turned_to(state) if late else state


def in_sight(state: State) -> Laid | None:
    """Give the sheet that is open, once it is laid out."""
    return state.laid if state.laid and state.laid.request.key == state.open.key else None


def to_stop(state: State, steps: int) -> State:
    """Go to the next stop or the one before; where the next is out of sight, scroll first."""
    sheet = in_sight(state)
    if sheet is None:
        return state
    top, body = state.open.top, state.body
    at = state.open.stop
    if state.stop is None:
        inside = [n for n, one in enumerate(sheet.stops) if _seen(one.line, top, body)]
        target = (inside[0] if steps > 0 else inside[-1]) if inside else -1
    else:
        target = at + steps
    if not 0 <= target < len(sheet.stops):
        return scroll(state, steps * max(1, body // 2))
    stop = sheet.stops[target]
    if not _seen(stop.line, top, body + body // 2 * (steps > 0)) and steps > 0:
        return scroll(state, body // 2)  # what stands between is not skipped
    if stop.line < top - body // 2 and steps < 0:
        return scroll(state, -(body // 2))
    return at_stop(state, target)


def at_stop(state: State, number: int) -> State:
    """Go to a stop and bring it into sight."""
    sheet = in_sight(state)
    if sheet is None or not 0 <= number < len(sheet.stops):
        return state
    stop = sheet.stops[number]
    below = stop.line + min(stop.lines, state.body) - state.body
    top = min(max(state.open.top, below), stop.line)
    return replace(state, open=replace(state.open, stop=number, top=top, read=""), checked=None)


def scroll(state: State, lines: int) -> State:
    """Scroll; a stop that goes out of sight is the current one no more."""
    sheet = in_sight(state)
    if sheet is None:
        return state
    top = max(0, min(len(sheet.lines) - state.body, state.open.top + lines))
    moved = replace(state, open=replace(state.open, top=top))
    if moved.stop is not None or not state.open.read:
        return moved
    return replace(moved, open=replace(moved.open, read=""), checked=None)


def enter(state: State, when: str) -> State:
    """Do what the current stop is for: tick, keep the reading, or open."""
    stop = state.stop
    if stop is None:
        return to_stop(state, 1)
    if stop.kind == TICK:
        mark = (state.open.key, stop.name)
        return replace(state, ticked=state.ticked ^ {mark})
    if stop.kind == READ:
        return keep_reading(state, when)
    return open_command(state, stop.name) if stop.kind == OPEN else state


def keep_reading(state: State, when: str) -> State:
    """Keep the reading that was typed, once it can be read; panels that take readings have it."""
    stop, text = state.stop, state.open.read.strip()
    if stop is None or not text:
        return replace(state, told="type the reading first, as in 4k7 or 35 mV")
    checked = state.checked
    if checked is None or checked.request.text != state.open.read:
        return replace(state, told="one moment: the reading is being judged")
    if not checked.usable:
        return replace(state, told="".join(piece for _, piece in checked.pieces))
    key = state.open.key
    kept = tuple(one for one in state.readings.get(key, ()) if one[0] != stop.name)
    readings = {**state.readings, key: (*kept, (stop.name, text))}
    state = replace(state, readings=readings, open=replace(state.open, read=""), checked=None)
    return offer(state, PanelEvent("read", stop.name, text, entry_in_sight(state), when))


def check_text(state: State) -> tuple[str, str, str] | None:
    """Give sheet, target and text of a reading that wants its verdict; None without one."""
    stop = state.stop
    if not state.reading or stop is None or not state.open.read.strip():
        return None
    return state.open.key, stop.name, state.open.read


def checked(state: State, answer: Checked) -> State:
    """Take a verdict, if it is about what stands in the input line."""
    asked = (answer.request.key, answer.request.target, answer.request.text)
    return replace(state, checked=answer) if check_text(state) == asked else state


def open_command(state: State, command: str) -> State:
    """Follow a link: a sheet, a calculator filled in, or what a plugin's command shows."""
    words = _words(command)
    if words[:2] == ["fixbook", "calc"] and len(words) > 2:
        pairs = (word.partition("=") for word in words[3:])
        return replace(state, want=WantForm(words[2], tuple((p[0], p[2]) for p in pairs)))
    is_sheet = words[:2] == ["fixbook", "sheet"] and len(words) == 3
    return open_key(state, words[2] if is_sheet else command)


def open_key(state: State, key: str) -> State:
    """Open another sheet; the one before it is come back to."""
    trail = (*state.trail, state.open)[-MOST_TRAIL:] if state.place == SHEET else ()
    return go(replace(state, trail=trail, open=Open(key), checked=None), SHEET)


def leave(state: State) -> State:
    """Go back to the sheet before, or to where the sheet was opened from."""
    if state.open.read:
        return replace(state, open=replace(state.open, read=""), checked=None)
    state = _read_cautions(state)
    if state.trail:
        return replace(state, open=state.trail[-1], trail=state.trail[:-1], checked=None)
    return back(state) if state.came_from else replace(state, place=SEARCH)


def _read_cautions(state: State) -> State:
    """Once a sheet has been used, its cautions stand in their short form."""
    sheet = in_sight(state)
    if sheet is None or sheet.entry is None:
        return state
    return replace(state, brief=state.brief | frozenset(sheet.entry.hazards))


def _seen(line: int, top: int, body: int) -> bool:
    return top <= line < top + body


def _words(command: str) -> list[str]:
    try:
        return shlex.split(command)
    except ValueError:  # an unclosed quote: it is no command of ours
        return [command]
