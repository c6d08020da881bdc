"""Lists to choose from: narrowings, words searched before, calculators, answers at hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fixbook.core.plugins import PanelEvent
from fixbook.screen.panels import entry_in_sight, offer
from fixbook.screen.requests import LeftSum, Pairs, WantForm
from fixbook.screen.searching import narrow, search_for
from fixbook.screen.sheeting import open_command
from fixbook.screen.state import ANSWERS, NARROW, RECENT, SUMS, State, back

FACETS = ("unit", "section", "sign", "hazard", "skill", "kind", "state", "model")
"""What results can be narrowed by, in the order in which it helps at the bench."""
MOST_VALUES = 400


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list."""

    text: str
    note: str = ""
    value: tuple[str, str] = ("", "")
    """What choosing it means."""


def rows(state: State) -> tuple[Row, ...]:
    """Give the rows of the list in sight that have what is typed in them."""
    made = {NARROW: _narrowings, RECENT: _recent, SUMS: _sums, ANSWERS: _answers}
    every = made[state.place](state) if state.place in made else ()
    typed = state.filter.lower().split()
    return tuple(
        one for one in every if all(word in f"{one.text} {one.note}".lower() for word in typed)
    )


def move(state: State, steps: int) -> State:
    """Choose another row."""
    return replace(state, picked=max(0, min(len(rows(state)) - 1, state.picked + steps)))


def enter(state: State, when: str) -> State:
    """Do what the chosen row means."""
    all_rows = rows(state)
    if not all_rows and state.place == SUMS and state.sums is None:
        return replace(state, entering=True)  # the list is still on its way
    if not all_rows:
        return replace(state, told="nothing here has these words")
    row = all_rows[min(state.picked, len(all_rows) - 1)]
    first, second = row.value
    if state.place == NARROW:
        return narrow(back(state), first, second)
    if state.place == RECENT:
        return search_for(state, first)
    if state.place == SUMS:
        leaving = back(state)
        if first.startswith("fixbook "):
            return open_command(leaving, first)
        return replace(leaving, want=WantForm(first, ()))
    taking = [one.panel.name for one in state.panels if "offered" in one.panel.takes]
    if not taking:
        return replace(state, told="nothing here takes answers")
    state = offer(state, PanelEvent("offered", "", first, entry_in_sight(state), when))
    return replace(back(state), told=f"the answer went to: {', '.join(taking)}")


def sums_came(state: State, sums: Pairs) -> State:
    """Take the list of calculators, and the Enter that was pressed before it came."""
    state = replace(state, sums=sums)
    if not state.entering or state.place != SUMS:
        return state
    return enter(replace(state, entering=False), "")


def _narrowings(state: State) -> tuple[Row, ...]:
    chosen = tuple(
        Row(f"{facet}: {_named(state, facet, value)}", "narrowed by this; choose to undo", (facet, value))
        for facet, value in state.narrowed
    )  # fmt: skip
    facets = state.found.findings.facets if state.found else {}
    counted = tuple(
        Row(f"{facet}: {_named(state, facet, value)}", str(count), (facet, value))
        for facet in FACETS
        for value, count in facets.get(facet, ())[:MOST_VALUES]
        if (facet, value) not in state.narrowed
    )
    kinds = state.opened.kinds if state.opened else ()
    shown = {value for value, _ in facets.get("kind", ())}
    more = tuple(
        Row(f"kind: {kind}", "of the plugins", ("kind", kind))
        for kind in kinds
        if kind not in shown and ("kind", kind) not in state.narrowed
    )
    return (*chosen, *more, *counted)


def _named(state: State, facet: str, value: str) -> str:
    if state.opened is None:
        return value
    if facet == "sign" and value in state.opened.asks:
        return f"{state.opened.asks[value]} ({value})"
    if facet == "unit" and value in state.opened.units:
        return f"{state.opened.units[value]} ({value})"
    return value


def _recent(state: State) -> tuple[Row, ...]:
    return tuple(Row(words, "", (words, "")) for words in state.recent)


def _sums(state: State) -> tuple[Row, ...]:
    fitting = state.laid.sums if state.laid and state.laid.request.key == state.open.key else ()
    first = tuple(Row(what, "fits this sheet", (command, "")) for what, command in fitting)
    asks = dict(state.sums or ())
    # What a sheet filled in comes back from that sheet.
    left = {one.name: one for one in state.left_sums if one.name in asks and not one.given}
    notes = {name: f"as it was left ({_texts(one)}): {asks[name]}" for name, one in left.items()}
    others = {name: question for name, question in asks.items() if name not in notes}
    return (*first, *(Row(name, said, (name, "")) for name, said in {**notes, **others}.items()))


def _texts(left: LeftSum) -> str:
    return ", ".join(text for _, text in left.texts)


def _answers(state: State) -> tuple[Row, ...]:
    return tuple(Row(line, "", (line, "")) for line in state.answers)
