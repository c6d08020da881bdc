"""The keys: what each means, and which are shown where."""

from __future__ import annotations

from fixbook.render.clean import clean_line
from fixbook.render.lines import width_of, wrap
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
    "c-x": "empty",
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
    ("Enter", "open, tick, follow, keep: what the line at the bottom says"),
    ("Escape", "back to where you came from"),
    (
        "Ctrl-Q or Ctrl-C",
        (
            "leave; what was typed is kept. Words, narrowings, sums, answers and panels stand there "
            "again next time; words from then are marked, and the first letter takes their place"
        ),
    ),
    ("Up, Down", "choose the one before or the next"),
    ("Page Up, Page Down", "a screenful further"),
    ("Ctrl-Home, Ctrl-End", "the beginning or the end of a sheet"),
    ("Tab", "between results and sheet; in a form the next line"),
    ("Backspace", "in an empty line: takes the last narrowing away, or goes back"),
    ("Ctrl-U", "empties the line; Ctrl-X all lines of a sum"),
    ("F1", "these keys, and back"),
    ("F2 or Ctrl-N", "narrow the results by what they are, or by a sign"),
    ("F3 or Ctrl-R", "what was searched before"),
    ("F4 or Ctrl-S", "sums: those that fit the sheet, those in use, all"),
    ("F5 or Ctrl-T", "the last answers, to be put into a job note"),
)
"""What the screen of keys says, before the panels' keys and the last lines."""
KEY_WIDTH = 20
HELP_LAST = (
    ("Ctrl-F", "straight back to the search"),
    ("mouse", "click what you want; the wheel scrolls"),
)
LAST_TO_GO = (
    "back", "leave", "keys", "enter", "", "panel", "sums", "narrow", "recent", "empty", "page-down",
)  # fmt: skip
"""The hints that stay where there is no room for all, by their actions; then the others."""


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
            ("Ctrl-X", "empty it", "empty", ""),
            ("Page Down", "more", "page-down", ""),
            ("Escape", "keep and close", "back", ""),
        )
    if state.place == PANEL:
        return (
            ("Up/Down", "line", "down", ""),
            ("Enter", "do", "enter", ""),
            ("Escape", "back", "back", ""),
        )
    return (("Up/Down", "scroll", "down", ""), ("Escape", "back", "back", ""))


def general(state: State) -> tuple[Hint, ...]:
    """Give the keys that apply everywhere, the panels' included."""
    panels = tuple((key, name, "panel", str(at)) for at, (key, name, _) in enumerate(_keyed(state)))
    return (*GENERAL, *panels, LEAVE)


def help_lines(state: State) -> list[tuple[str, str]]:
    """Give every key with what it does, broken into lines over the whole width."""
    panels = ((key, f"{name}: {summary}") for key, name, summary in _keyed(state))
    return [
        ("" if at else key, line)
        for key, means in (*HELP, *panels, *HELP_LAST)
        for at, line in enumerate(wrap(clean_line(means), max(10, state.columns - KEY_WIDTH)))
    ]


def fitting(shown: tuple[Hint, ...], width: int, gap: int) -> tuple[Hint, ...]:
    """Leave out as many hints as have no room; how to leave, to go back and F1 are left last."""
    left = list(shown)
    while len(left) > 1 and sum(_size(one) + gap for one in left) - gap > width:
        left.remove(max(left, key=_rank))
    return tuple(left)


def _size(hint: Hint) -> int:
    return width_of(f"{hint[0]} {hint[1]}")


def _rank(hint: Hint) -> tuple[int, int]:
    """Say how soon a hint is left out; of several panels the last goes first."""
    _, _, action, about = hint
    at = LAST_TO_GO.index(action) if action in LAST_TO_GO else len(LAST_TO_GO)
    return at, int(about or 0)


def panel_key(at: int) -> str:
    """Give the key of a panel, counted from 0; empty where there are no more keys."""
    return f"F{FIRST_PANEL + at}" if FIRST_PANEL + at <= LAST_PANEL else ""


def _keyed(state: State) -> tuple[tuple[str, str, str], ...]:
    """Give the panels that have a key: the key, the name, the summary."""
    return tuple(
        (panel_key(at), clean_line(one.panel.name), one.panel.summary)
        for at, one in enumerate(state.panels)
        if panel_key(at)
    )


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
