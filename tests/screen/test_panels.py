"""Panels of plugins: events in, states out, nothing lost, failures switched off."""

from __future__ import annotations

from dataclasses import replace

from fixbook.core.entry import Entry
from fixbook.core.plugins import (
    PanelAction,
    PanelEvent,
    PanelField,
    PanelState,
    PanelWork,
    ScreenPanel,
)
from fixbook.screen.events import Answered, Do, Typed
from fixbook.screen.input_line import input_line
from fixbook.screen.requests import Laid, Panels, Work, Worked
from fixbook.screen.right_side import heading
from fixbook.screen.state import PANEL, SEARCH, SHEET, Open, State
from fixbook.screen.step import step
from fixbook.screen.wants import wants


def memo(state: PanelState, event: PanelEvent) -> PanelState:
    """Keep a list of what happened in memory; Enter writes the line away."""
    told = f"{state.memory.get('told', '')} {event.kind}:{event.name or event.text}".strip()
    state = replace(state, memory={"told": told})
    if event.kind == "begun":
        return replace(state, draft=event.text)
    if event.kind == "typed":
        return replace(state, draft=event.text)
    if event.kind == "chosen" and event.name == "boom":
        raise RuntimeError("out of paper")
    if event.kind == "chosen":
        return replace(state, work=PanelWork("write", {"text": event.when}))
    return state


BEGIN = PanelState(
    "memo",
    fields=(PanelField("line", "line", enter="write"), PanelField("more", "more")),
    actions=(PanelAction("boom", "break"), PanelAction("write", "write")),
)
PANEL_OF_MEMOS = ScreenPanel("memo", "a line to remember", BEGIN, memo, None, ("offered", "read"))


def with_panel(**drafts: str) -> State:
    """Give a state whose panel is in sight."""
    state = step(State(), Answered(Panels((PANEL_OF_MEMOS,), drafts)))
    return step(state, Do("panel", "0"))


def told(state: State) -> str:
    """Give what the panel heard."""
    return state.panels[0].state.memory["told"]


def test_a_panel_is_given_the_draft_that_was_left():
    """What the last screen left behind comes first."""
    assert told(with_panel(memo="half a line")).startswith("begun:half a line")


def test_what_is_typed_reaches_the_panel_letter_by_letter():
    """The panel sees each change, and so does its draft."""
    state = step(step(with_panel(), Typed("h")), Typed("hu"))
    assert state.panels[0].state.draft == "hu"
    assert state.panels[0].state.fields[0].text == "hu"


def test_enter_does_what_the_line_says():
    """A line names the action that Enter does in it."""
    state = step(with_panel(), Do("enter", "", "2026-11-25T14:30"))
    assert wants(state)["work memo"] == Work(
        "memo", PanelWork("write", {"text": "2026-11-25T14:30"})
    )


def test_enter_on_a_line_without_an_action_goes_on():
    """Lines are filled in one after another."""
    state = step(step(with_panel(), Do("down")), Do("enter"))
    assert state.panels[0].at == 2


def test_events_wait_for_work_that_is_being_done():
    """A second note waits until the first is written; none is lost."""
    state = step(step(with_panel(), Do("enter")), Do("enter"))
    first = state.panels[0].state.work
    state = step(state, Answered(Worked(Work("memo", first))))
    assert told(state).split()[-2:] == ["done:write", "chosen:write"]
    assert state.panels[0].state.work is not first


def test_an_action_that_is_offered_no_more_is_not_done_late():
    """Enter pressed twice starts one thing."""

    def once(state: PanelState, event: PanelEvent) -> PanelState:
        if event.kind == "chosen":
            return replace(state, work=PanelWork("start"))
        return replace(state, actions=()) if event.kind == "done" else state

    begin = PanelState("once", actions=(PanelAction("start", "start"),))
    panel = ScreenPanel("once", "", begin, once)
    state = step(State(), Answered(Panels((panel,))))
    state = step(step(step(state, Do("panel", "0")), Do("enter")), Do("enter"))
    state = step(state, Answered(Worked(Work("once", state.panels[0].state.work))))
    assert state.panels[0].state.work is None


def test_an_answer_to_other_work_is_not_taken():
    """Only what is waited for counts."""
    state = step(with_panel(), Do("enter"))
    again = step(state, Answered(Worked(Work("memo", PanelWork("write")))))
    assert again.panels[0].state.work is not None


def test_a_panel_that_raises_is_switched_off_and_named():
    """The rest of the screen goes on."""
    state = step(step(with_panel(), Do("row", "2")), Do("enter"))
    assert (state.panels, state.place) == ((), SEARCH)
    assert "memo failed (RuntimeError: out of paper)" in state.off[0][1]


def test_a_panel_that_gives_something_else_is_switched_off():
    """A state is a PanelState."""
    panel = ScreenPanel("odd", "", BEGIN, lambda state, event: None)
    state = step(State(), Answered(Panels((panel,))))
    assert [name for name, _ in state.off] == ["odd"]


def test_leaving_waits_for_work_and_a_second_time_does_not():
    """What is being written is written; who insists may go."""
    state = step(step(with_panel(), Do("enter")), Do("leave"))
    done = step(state, Answered(Worked(Work("memo", state.panels[0].state.work))))
    assert (state.left, done.left, step(state, Do("leave")).left) == (False, True, True)


def test_the_key_of_a_panel_goes_there_and_back():
    """The same key opens and closes."""
    state = with_panel()
    assert (state.place, step(state, Do("panel", "0")).place) == (PANEL, SEARCH)


def test_a_missing_panel_is_told():
    """A function key without a panel does no harm."""
    assert step(State(), Do("panel", "3")).told == "there is no such panel"


def test_a_panel_is_told_what_is_searched():
    """Who turns from the search to a panel need not type the complaint again."""
    state = step(State(), Answered(Panels((EARS,))))
    state = step(step(state, Typed(" left side  fades")), Do("panel", "0"))
    assert state.panels[0].state.memory == {"text": "left side fades", "entry": ""}


def test_a_panel_is_told_of_a_sheet_that_is_laid_out_late():
    """The key of a panel may be quicker than the sheet."""
    state = replace(step(State(), Answered(Panels((EARS,)))), open=Open("amp-one"), place=SHEET)
    asked = state.lay()
    state = step(state, Do("panel", "0"))
    state = step(state, Answered(Laid(asked, "t", (), entry=Entry("amp-one", "fault", "t", "u"))))
    assert state.panels[0].state.memory["entry"] == "amp-one"


def test_a_sheet_that_was_left_for_another_search_is_not_the_panels():
    """What is no longer in sight is not meant."""
    state = replace(step(State(), Answered(Panels((EARS,)))), open=Open("amp-one"), place=SHEET)
    laid = Laid(state.lay(), "t", (), entry=Entry("amp-one", "fault", "t", "u"))
    state = replace(step(state, Answered(laid)), open=Open("amp-two"))
    assert step(state, Do("panel", "0")).panels[0].state.memory["entry"] == ""


def test_the_same_row_stays_the_current_one():
    """An answer that is offered again stays under the finger, though a line came before it."""

    def more(state: PanelState, event: PanelEvent) -> PanelState:
        return replace(state, fields=(PanelField("new", "new"), *state.fields))

    panel = ScreenPanel("more", "", BEGIN, more)
    state = step(State(), Answered(Panels((panel,))))
    state = step(step(step(state, Do("panel", "0")), Do("row", "5")), Do("enter"))
    paneled = state.panels[0]
    assert paneled.state.actions[paneled.at - len(paneled.state.fields)].name == "write"


def test_each_panel_says_which_it_is():
    """Lines of one name in two panels are told apart."""
    state = with_panel()
    assert (input_line(state).label, heading(state)) == ("memo, line", "F6 memo")


def heard(state: PanelState, event: PanelEvent) -> PanelState:
    """Remember what was told when the user turned to the panel."""
    if event.kind != "opened":
        return state
    return replace(
        state, memory={"text": event.text, "entry": event.entry.id if event.entry else ""}
    )


EARS = ScreenPanel("ears", "hears what there is", PanelState("ears"), heard)
