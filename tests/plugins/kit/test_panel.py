"""The kit on the bench screen: the sheet's parts at once, the drawers as soon as they are known."""

from __future__ import annotations

from dataclasses import replace

from fixbook_plugins.kit.panel import panel, step

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


def marked(text: str) -> tuple[Session, PanelState]:
    """Type what stands on a part that the write-up leaves to be read, and press Enter."""
    session, state = opened("amp-hum")
    work = panel().work
    state = step(state, PanelEvent("done", name="pick", answer=work(session.bench, state.work)))
    state = replace(state, fields=(replace(state.fields[0], text=text),))
    state = step(step(state, PanelEvent("typed", "C1", text)), PanelEvent("chosen", "pick"))
    answer = work(session.bench, state.work)
    return session, step(state, PanelEvent("done", name="pick", answer=answer))


UNSAID = {"at": "C1", "is": "electrolytic capacitor", "value": "as marked"}
LIST = '"aluminium electrolytic, radial",4700 uF,50 V,105,3,A1,,'


def test_what_stands_on_a_part_is_typed_on_the_screen(shelf):
    """The drawers are looked through again with it, and no option is named."""
    shelf.wants(UNSAID)
    shelf.has(LIST)
    _, state = marked("4700 uF 35 V")
    said = " ".join(str(one) for one in state.blocks)
    assert ("A1" in said, "--" in said, state.fields[0].text) == (True, False, "4700 uF 35 V")


def test_what_was_typed_of_a_part_survives_the_screen(shelf):
    """It stands in its line again when the same kit is opened."""
    shelf.wants(UNSAID)
    shelf.has(LIST)
    session, state = marked("4700 uF 35 V")
    again = step(panel().begin, PanelEvent("begun", text=state.draft))
    again = step(again, PanelEvent("opened", entry=session.bench.entry("amp-hum")))
    answer = panel().work(session.bench, again.work)
    assert step(again, PanelEvent("done", answer=answer)).fields[0].text == "4700 uF 35 V"


def test_a_damaged_draft_is_let_go():
    """It stops no screen."""
    state = step(panel().begin, PanelEvent("begun", text='{"a": 7'))
    assert step(state, PanelEvent("opened")).fields == ()
