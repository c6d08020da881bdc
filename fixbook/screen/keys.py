"""The keys: what each means, and which are shown where."""

from __future__ import annotations

from fixbook.screen.choosing import rows
from fixbook.screen.requests import READ, TICK
from fixbook.screen.state import FORM, LISTS, PANEL, SEARCH, SHEET, State

Hint = tuple[str, str, str, str]
"""The key in words, what it does, the action and what that is about."""

KEYS: dict[str, str] = {
    "up": "up",
    "down": "down",
    "pageup": "page-up",
    "pagedown": "page-down",
    "c-home": "first",
    "c-end": "last",
    "enter": "enter",
    "escape": "back",
    "tab": "other",
    "s-tab": "other-back",
    "f1": "keys",
    "f2": "narrow",
    "f3": "recent",
    "f4": "sums",
    "f5": "answers",
    "c-n": "narrow",
    "c-r": "recent",
    "c-s": "sums",
    "c-t": "answers",
    "c-f": "to-search",
    "c-q": "leave",
    "c-c": "leave",
}
"""Keys as prompt-toolkit names them, with their actions."""
FIRST_PANEL, LAST_PANEL = 6, 12
"""Panels have the function keys from here on."""

GENERAL: tuple[Hint, ...] = (
    ("F1", "keys", "keys", ""),
    ("F2", "narrow", "narrow", ""),
    ("F3", "before", "recent", ""),
    ("F4", "sums", "sums", ""),
    ("F5", "answers", "answers", ""),
)
LEAVE: Hint = ("Ctrl-Q", "leave", "leave", "")

HELP = (
    ("typing", "searches at once; elsewhere it fills in the line at the top"),
    ("Up, Down", "choose the one before or the next"),
    ("Page Up, Page Down", "a screenful further"),
    ("Ctrl-Home, Ctrl-End", "the beginning or the end of a sheet"),
    ("Enter", "open, tick, follow, keep: what the line at the bottom says"),
    ("Escape", "back to where you came from"),
    ("Tab", "between results and sheet; in a form the next line"),
    ("Backspace", "in an empty line: takes the last narrowing away, or goes back"),
    ("F1", "these keys, and back"),
    ("F2 or Ctrl-N", "narrow the results by what they are, or by a sign"),
    ("F3 or Ctrl-R", "what was searched before"),
    ("F4 or Ctrl-S", "sums: every calculator, those that fit the sheet first"),
    ("F5 or Ctrl-T", "the last answers, to be put into a job note"),
    ("F6 and further", "what plugins add"),
    ("Ctrl-F", "straight back to the search"),
    ("Ctrl-Q or Ctrl-C", "leave; what was typed is kept"),
    ("mouse", "click what you want; the wheel scrolls"),
)
"""What the screen of keys says."""


def hints(state: State) -> tuple[Hint, ...]:
    """Give the keys that apply where the user is."""
    if state.place == SEARCH:
        found = bool(state.found and state.found.findings.hits)
        more: tuple[Hint, ...] = ()
        if found:
            more = (("Up/Down", "choose", "down", ""), ("Enter", "open", "enter", ""))
        if state.words:
            more = (*more, ("Escape", "clear", "back", ""))
        elif state.narrowed:
            more = (*more, ("Escape", "undo the last narrowing", "back", ""))
        return more
    if state.place in LISTS:
        choose = (("Up/Down", "choose", "down", ""), ("Enter", "take it", "enter", ""))
        return (*(choose if rows(state) else ()), ("Escape", "back", "back", ""))
    if state.place == SHEET:
        return (
            ("Up/Down", "move", "down", ""),
            *_at_stop(state),
            ("Escape", "back", "back", ""),
        )
    if state.place == FORM:
        return (
            ("Up/Down", "line", "down", ""),
            ("Enter", "next, then keep", "enter", ""),
            ("Page Down", "more", "page-down", ""),
            ("Escape", "keep and close", "back", ""),
        )
    if state.place == PANEL:
        return (
            ("Up/Down", "line", "down", ""),
            ("Enter", "do", "enter", ""),
            ("Escape", "back", "back", ""),
        )
    return (("Escape", "back", "back", ""),)


def general(state: State) -> tuple[Hint, ...]:
    """Give the keys that apply everywhere, the panels' included."""
    panels = tuple(
        (f"F{FIRST_PANEL + at}", one.panel.name, "panel", str(at))
        for at, one in enumerate(state.panels[: LAST_PANEL - FIRST_PANEL + 1])
    )
    return (*GENERAL, *panels, LEAVE)


def _at_stop(state: State) -> tuple[Hint, ...]:
    stop = state.stop
    if stop is None:
        return ()
    if stop.kind == TICK:
        done = (state.open.key, stop.name) in state.ticked
        return (("Enter", "take the tick off" if done else "tick it off", "enter", ""),)
    if stop.kind == READ:
        return (("type", "a reading", "", ""), ("Enter", "keep it", "enter", ""))
    return (("Enter", "open it", "enter", ""),)
