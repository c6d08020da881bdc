"""The kit on the bench screen: the sheet's parts at once, the drawers as soon as they are known."""

from __future__ import annotations

from fixbook_plugins.kit.panel import panel

from fixbook.api import PanelEvent, PanelState, TableBlock
from fixbook.cli.session import Session


def opened(id: str) -> tuple[Session, PanelState]:
    """Give the panel after the user turned to it with a sheet open."""
    session = Session()
    made = panel()
    entry = session.bench.entry(id)
    return session, made.step(made.begin, PanelEvent("opened", entry=entry))


def columns(state: PanelState) -> tuple[str, ...]:
    """Give the columns of the parts."""
    return next(one.columns for one in state.blocks if isinstance(one, TableBlock))


def test_the_parts_are_shown_before_anybody_looked_into_a_drawer(shelf, reservoir):
    """Turning to the panel costs nothing, and asks for the drawers beside the screen."""
    shelf.wants(reservoir)
    _, state = opened("amp-hum")
    assert ("instead" in columns(state), state.work.values) == (True, {"id": "amp-hum"})


def test_the_drawers_come_when_the_work_is_done(shelf, reservoir):
    """The answer of the work takes the place of the plain list."""
    shelf.wants(reservoir)
    shelf.has('"aluminium electrolytic, radial",4700 uF,50 V,105,3,A1,,')
    session, state = opened("amp-hum")
    answer = panel().work(session.bench, state.work)
    after = panel().step(state, PanelEvent("done", name="pick", answer=answer))
    assert ("from" in columns(after), after.work) == (True, None)


def test_without_a_stock_list_the_plain_list_stays(shelf, reservoir):
    """No list, nothing to wait for."""
    shelf.wants(reservoir)
    session, state = opened("amp-hum")
    answer = panel().work(session.bench, state.work)
    assert (
        panel().step(state, PanelEvent("done", name="pick", answer=answer)).blocks == state.blocks
    )


def test_a_list_that_cannot_be_read_is_said_above_the_parts(shelf, reservoir):
    """The parts stay in sight under what is wrong."""
    shelf.wants(reservoir)
    _, state = opened("amp-hum")
    after = panel().step(state, PanelEvent("failed", name="pick", text="stock.csv is not there"))
    assert (after.blocks[0].text, after.blocks[1:]) == ("stock.csv is not there", state.blocks)
