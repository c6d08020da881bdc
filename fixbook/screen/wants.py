"""What a state asks for: at most one request of each kind, the newest.

A request that equals the one that was asked last is not asked again, so a state that stays as
it is asks for nothing.
"""

from __future__ import annotations

from fixbook.screen.requests import Check, Request, WantFigures, WantSums, Work
from fixbook.screen.sheeting import check_text
from fixbook.screen.state import FORM, PANEL, SEARCH, SHEET, SUMS, State


def wants(state: State) -> dict[str, Request]:
    """Give what the state asks for, by kind; a panel's work is a kind of its own."""
    asked: dict[str, Request] = {}
    if state.opened is not None:
        asked["search"] = state.search()
        sheet = state.lay()
        if sheet is not None:
            asked["sheet"] = sheet
    results = state.place == SEARCH or (state.beside and state.place in (SHEET, FORM, PANEL))
    if state.opened is not None and state.found is not None and results:
        shown = state.found.findings.hits[state.top : state.top + state.hits_in_sight]
        ids = tuple(hit.key for hit in shown if ":" not in hit.key)
        if ids:
            asked["figures"] = WantFigures(ids, state.generation)
    reading = check_text(state)
    if reading is not None:
        asked["check"] = Check(*reading)
    if state.want is not None:
        asked["form"] = state.want
    calculation = state.compute()
    if calculation is not None:
        asked["sum"] = calculation
    if state.place == SUMS and state.sums is None:
        asked["sums"] = WantSums(state.generation)
    for one in state.panels:
        if one.state.work is not None:
            asked[f"work {one.panel.name}"] = Work(one.panel.name, one.state.work)
    return asked
