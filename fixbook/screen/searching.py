"""The search: which hit is chosen, narrowing and stepping back, the words that were searched."""

from __future__ import annotations

from dataclasses import replace

from fixbook.core.query import Hit
from fixbook.screen.requests import Found
from fixbook.screen.state import SEARCH, SHEET, Open, State, go

MORE = 20
"""Hits that are asked for beyond those in sight, once the user goes down to them."""
REMEMBERED = 30
SHORTEST = 3
"""Words of fewer letters are not worth remembering."""


def found(state: State, answer: Found) -> State:
    """Take an answer, unless a newer one is shown already."""
    shown = state.found.request if state.found else None
    asked = answer.request
    if shown and (asked.turn, asked.generation) < (shown.turn, shown.generation):
        return state
    before = chosen_hit(state)
    state = replace(state, found=answer)
    if answer.problem:
        return replace(state, told=answer.problem)
    if shown and shown.turn == asked.turn and before is not None:
        keys = [hit.key for hit in answer.findings.hits]
        at = keys.index(before.key) if before.key in keys else 0
        return choose(state, at)
    state = choose(state, min(state.chosen, max(0, len(answer.findings.hits) - 1)))
    return enter(state) if state.entering and asked.turn == state.turn else state


def hits(state: State) -> tuple[Hit, ...]:
    """Give the hits that are shown."""
    return state.found.findings.hits if state.found else ()


def chosen_hit(state: State) -> Hit | None:
    """Give the hit that is chosen; None without any."""
    all_hits = hits(state)
    return all_hits[state.chosen] if 0 <= state.chosen < len(all_hits) else None


def choose(state: State, at: int) -> State:
    """Choose a hit; its sheet is the one beside the results."""
    all_hits = hits(state)
    at = max(0, min(len(all_hits) - 1, at))
    sight = state.hits_in_sight
    top = max(0, min(max(state.top, at - sight + 1), at))
    state = replace(state, chosen=at, top=top)
    total = state.found.findings.total if state.found else 0
    if all_hits and at >= len(all_hits) - 1 and len(all_hits) < total:
        state = replace(state, limit=len(all_hits) + MORE)
    if state.place != SEARCH:
        return state  # the user is reading: what is open stays open
    key = all_hits[at].key if all_hits else ""
    return state if state.open.key == key else replace(state, open=Open(key), trail=())


def enter(state: State) -> State:
    """Go to the sheet of the chosen hit, once the results of what was typed are there."""
    if state.found is None or state.found.request.turn != state.turn:
        return replace(state, entering=True)
    state = replace(state, entering=False)
    hit = chosen_hit(state)
    if hit is None:
        return replace(state, told="nothing is found to be opened; try other words")
    state = choose(state, state.chosen)
    return go(remember(state), SHEET)


def remember(state: State) -> State:
    """Keep the words among those searched before."""
    words = " ".join(state.words.split())
    if len(words) < SHORTEST:
        return state
    others = (one for one in state.recent if one != words)
    return replace(state, recent=(words, *others)[:REMEMBERED])


def search_for(state: State, words: str) -> State:
    """Search for these words instead."""
    before = state.before and words == state.words
    again = replace(state, words=words, turn=state.turn + 1, chosen=0, top=0, limit=0)
    return replace(again, place=SEARCH, came_from=(), filter="", picked=0, before=before)


def narrow(state: State, facet: str, value: str) -> State:
    """Narrow the results; the same again takes the narrowing away."""
    pair = (facet, value)
    others = tuple(one for one in state.narrowed if one != pair)
    narrowed = others if pair in state.narrowed else (*others, pair)
    return search_for(replace(remember(state), narrowed=narrowed), state.words)


def widen(state: State) -> State:
    """Step back: take the last narrowing away."""
    if not state.narrowed:
        return state
    return search_for(replace(state, narrowed=state.narrowed[:-1]), state.words)
