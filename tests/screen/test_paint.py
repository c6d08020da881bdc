"""Painting: rows of exactly the terminal's width, whatever happens at whatever size."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_panels import PANEL_OF_MEMOS

from fixbook.core.entry import Entry
from fixbook.core.plugins import PanelState, ScreenPanel
from fixbook.core.query import Findings, Hit
from fixbook.render.lines import text_of, width_of
from fixbook.screen.events import Answered, Do, FormOpened, Hears, Resized, Typed, Wheel
from fixbook.screen.fit import fit, wrap_pieces
from fixbook.screen.keys import KEYS
from fixbook.screen.paint import paint
from fixbook.screen.requests import (
    OPEN,
    READ,
    TICK,
    Checked,
    Computed,
    Field,
    Form,
    Found,
    Laid,
    Opened,
    Panels,
    Stop,
    Sums,
)
from fixbook.screen.state import Paneled, State
from fixbook.screen.step import step
from fixbook.screen.wants import wants

SIZES = [(80, 24), (120, 40), (250, 70), (20, 6), (99, 25), (100, 7)]
ODD = "a\tb\x1b[31m 漢字かな é\u0301 \u202eabc \ud800 👩\u200d🔧 " + "x" * 90


def answer(state: State, kind: str, request: object) -> State:
    """Answer a request with something made up and awkward."""
    if kind == "search":
        hits = tuple(Hit(f"k{n}", {"title": ODD[n:], "unit": ODD}, 1.0, (ODD,)) for n in range(9))
        facets = {"sign": ((ODD, 3),), "unit": (("u", 2),)}
        mended = {"a": ODD} if len(request.words) % 3 else {}
        found = Findings(request.words, "", mended, bool(mended), 40, hits, facets, (ODD,))
        return step(state, Answered(Found(request, found)))
    if kind == "sheet":
        lines = tuple([("strong", "[ ]"), ("plain", f" {n} {ODD}"[:90])] for n in range(77))
        kinds = (TICK, READ, OPEN)
        stops = tuple(Stop(kinds[n % 3], f"fixbook calc c{n}", n * 7, 2, ODD) for n in range(11))
        return step(state, Answered(Laid(request, ODD, lines, stops, ((ODD, "fixbook calc x"),),
                                         Entry("k1", "fault", "t", "u"))))  # fmt: skip
    if kind == "check":
        return step(state, Answered(Checked(request, [("good", ODD)], usable=True)))
    if kind == "form":
        fields = tuple(Field(f"f{n}", ODD, "needed", True) for n in range(30))
        return step(state, FormOpened(request, Form("c", ODD, fields, (ODD,))))
    if kind == "sum":
        lines = tuple([("plain", ODD)] for _ in range(50))
        return step(state, Answered(Computed(request, ODD, "bad", f"line {request.texts}", lines)))
    if kind == "sums":
        return step(state, Answered(Sums(request, tuple((f"c{n}", ODD) for n in range(60)))))
    return state


def check(state: State) -> None:
    """See that the painting is whole: as many rows as there are, each exactly as wide."""
    rows = paint(state)
    assert len(rows) == state.rows - 1
    for row in rows:
        assert sum(width_of(text) for _, text in row.line) == state.columns, text_of(row.line)
        assert all(0 <= zone.begin <= zone.end for zone in row.zones)


@pytest.mark.parametrize("seed", range(4))
def test_a_random_walk_of_keys_does_no_harm(seed):
    """Twenty thousand keys on every screen: no failure, and every painting is whole."""
    rng = random.Random(seed)
    actions = [*set(KEYS.values()), "erase", "panel", "to-search"]
    state = step(State(), Answered(Panels((PANEL_OF_MEMOS,))))
    state = step(state, Answered(Opened(asks={ODD: ODD}, kinds=("job",))))
    places = set()
    for number in range(5_000):
        drawn = rng.random()
        if drawn < 0.25:
            state = step(state, Typed(rng.choice(["", "a", "hum left ", ODD, "c1", "40 mohm"])))
        elif drawn < 0.3:
            state = step(state, Resized(*rng.choice(SIZES)))
        elif drawn < 0.35:
            state = step(state, Wheel(rng.choice(["left", "right"]), rng.choice([-3, 3])))
        elif drawn < 0.38:
            state = step(state, rng.choice([Hears(ODD), Hears(""), Hears(ODD, lasting=True)]))
        elif drawn < 0.40:
            zones = [zone for row in paint(state) for zone in row.zones]
            zone = rng.choice(zones)
            state = step(state, Do(zone.action, zone.about, "now"))
        else:
            state = step(state, Do(rng.choice(actions), "0" if drawn < 0.5 else "", "now"))
        state = replace_left(state)
        for kind, request in wants(state).items():
            if rng.random() < 0.8:
                state = answer(state, kind, request)
        places.add(state.place)
        if number % 25 == 0:
            check(state)
    assert len(places) >= 8


def replace_left(state: State) -> State:
    """Stay, even if the user left."""
    return replace(state, left=False, leaving=False) if state.left else state


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(["plain", "good"]), st.text(max_size=30)), max_size=6),
    st.integers(1, 60),
)
def test_a_fitted_line_has_exactly_the_width(pieces, width):
    """Whatever stands in a line, it fills its columns and no more."""
    from fixbook.render.clean import clean

    line = [(style, clean(text).replace("\n", " ")) for style, text in pieces]
    assert sum(width_of(text) for _, text in fit(line, width)) == width


def test_a_cut_line_shows_that_it_goes_on():
    """What is not shown is not hidden silently."""
    assert text_of(fit([("plain", "abcdefgh")], 5)) == "abcd>"


def test_a_word_to_the_user_is_broken_over_rows():
    """A long message can be read to its end."""
    lines = wrap_pieces([("doubt", "the plugin memo failed and is off")], 12)
    assert [text_of(line) for line in lines] == ["the plugin", "memo failed", "and is off"]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_the_first_painting_is_whole_before_anything_is_known(columns, rows):
    """The screen stands before the book is open."""
    check(step(State(), Resized(columns, rows)))


def test_a_colour_comes_with_what_it_stands_on():
    """A foreground without a background, or the reverse, cannot be read on every terminal."""
    from fixbook.screen.window import STYLES

    halves = [name for name, style in STYLES.style_rules if ("fg:" in style) != ("bg:" in style)]
    assert (halves, any("fg:" in style for _, style in STYLES.style_rules)) == ([], True)


@pytest.mark.parametrize("columns", [20, 40, 60, 80, 100])
def test_how_to_leave_and_the_keys_are_always_said(columns):
    """Where there is no room for all keys, these two stay."""
    state = State(columns=columns, place="sheet", panels=tuple(map(paneled, "abcdefg")))
    *_, here, everywhere = (text_of(row.line) for row in paint(state))
    assert ("Escape back" in here, "F1 keys" in everywhere, "Ctrl-Q leave" in everywhere) == (
        True, True, True,
    )  # fmt: skip


def test_the_keys_are_left_out_in_the_order_of_their_use():
    """At eighty columns the last answers go first, and the panels stay."""
    state = State(panels=tuple(map(paneled, ("job", "kit", "check"))))
    shown = text_of(paint(state)[-1].line)
    assert ("F5" in shown, "F8 check" in shown) == (False, True)


@pytest.mark.parametrize(("columns", "rows"), [(100, 24), (30, 8)])
def test_every_key_can_be_read(columns, rows):
    """The screen of keys has the whole width, and is scrolled where it is too long."""
    state = step(State(columns=columns, rows=rows), Do("keys"))
    seen = set()
    for _ in range(200):
        seen |= {text_of(row.line).split("  ")[0].strip() for row in paint(state)}
        state = step(state, Do("down"))
    assert {"typing", "Ctrl-Q or Ctrl-C", "F5 or Ctrl-T", "mouse"} <= seen


def test_a_badge_is_not_cut_for_a_long_heading():
    """What must stay in sight wherever the user is goes before a name."""
    one = paneled("check")
    one = replace(one, state=replace(one.state, title="x" * 60, badge="narrowing down: supply"))
    assert "narrowing down: supply" in text_of(paint(State(place="panel", panels=(one,)))[1].line)


def paneled(name: str) -> Paneled:
    """Give a panel with nothing in it."""
    return Paneled(ScreenPanel(name, name, PanelState(), lambda state, event: state), PanelState())
