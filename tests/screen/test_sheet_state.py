"""A sheet on the screen: steps, readings, links and cautions, with a real book behind it."""

from __future__ import annotations

from fixbook.screen.events import Do, Resized, Wheel
from fixbook.screen.requests import READ, TICK
from fixbook.screen.state import FORM, SEARCH, SHEET


def text(player) -> str:
    """Give the whole sheet's text, its lines joined."""
    lines = ("".join(piece for _, piece in line) for line in player.state.laid.lines)
    return " ".join(" ".join(lines).split())


def inside(player, words: str = "drops"):
    """Open the first sheet that is found."""
    player.type(words)
    player.do("enter")
    return player


def test_a_sheet_shows_its_cautions_before_its_first_step(player):
    """What can hurt stands above what is to be done."""
    shown = text(inside(player))
    assert 0 < shown.index("Mains can kill.") < shown.index("[ ] 1.")


def test_every_step_of_a_list_can_be_ticked(player):
    """Steps that stand among other text are steps all the same."""
    stops = inside(player).state.laid.stops
    names = [one.name for one in stops if one.kind == TICK]
    assert [name for name in names if name.startswith("Step")] == [
        f"Step by step {n}" for n in (1, 2, 3)
    ]


def test_a_tick_stays_for_the_session(player):
    """Going away and coming back finds what was done."""
    inside(player).to_stop(TICK)
    player.do("back", "enter")
    assert "1 ticked" in player.shown


def test_a_tick_can_be_taken_off(player):
    """A tick set by mistake goes with the same key."""
    inside(player).to_stop(TICK)
    player.do("enter")
    assert player.state.ticked == frozenset()


def test_a_reading_is_judged_while_it_is_typed(player):
    """The verdict stands there before Enter is pressed."""
    inside(player).to_stop(READ)
    player.type("40 mohm")
    assert "pass, in" in player.shown


def test_a_reading_outside_its_window_fails(player):
    """The verdict is the calculation's, said in words."""
    inside(player).to_stop(READ)
    player.type("3 ohm")
    assert "fail, high" in player.shown


def test_a_kept_reading_stands_under_its_target(player):
    """Enter keeps a reading on the sheet for the session."""
    inside(player).to_stop(READ)
    player.type("40 mohm")
    player.do("enter")
    assert "read 40 mohm: pass, in" in player.shown


def test_what_cannot_be_read_is_not_kept(player):
    """A reading that means nothing is refused, and stays in the line to be mended."""
    inside(player).to_stop(READ)
    player.type("forty")
    player.do("enter")
    assert (player.state.readings, player.state.open.read) == ({}, "forty")


def test_a_link_opens_and_escape_comes_back_to_where_one_was(player):
    """Following links leaves a trail."""
    inside(player)
    stops = player.state.laid.stops
    at = next(n for n, one in enumerate(stops) if one.name == "fixbook sheet amp-two")
    player.send(Do("stop", str(at)))
    there = player.state.open.key
    player.do("back")
    assert (there, player.state.open.key, player.state.open.stop) == ("amp-two", "amp-one", at)


def test_a_calc_link_opens_the_form_filled_in(player):
    """A link carries its values into the form."""
    inside(player)
    stops = player.state.laid.stops
    at = next(n for n, one in enumerate(stops) if one.name.startswith("fixbook calc divider"))
    player.send(Do("stop", str(at)))
    given = [text for text in player.state.filling.texts if text]
    assert (player.state.place, given) == (FORM, ["12V", "10k"])


def test_whole_cautions_are_shown_until_the_sheet_was_left(player):
    """The full text stands once a session, the short form always."""
    inside(player)
    whole = "Local codes and licensed practice come first."
    first = whole in text(player)
    player.do("back", "enter")
    assert (first, whole in text(player), "Mains can kill." in text(player)) == (True, False, True)


def test_down_never_passes_a_stop_unseen(player):
    """Going down shows every line of the sheet before the last one is reached."""
    inside(player)
    seen: set[int] = set()
    for _ in range(60):
        top = player.state.open.top
        seen |= set(range(top, top + player.state.body))
        player.do("down")
    assert set(range(len(player.state.laid.lines))) <= seen


def test_a_stop_that_is_out_of_sight_is_not_acted_on(player):
    """Enter never ticks a step that nobody sees."""
    player.send(Resized(60, 12))
    inside(player).to_stop(TICK)
    player.do("enter", "page-down", "page-down", "page-down")
    before = player.state.ticked
    player.do("enter")
    assert player.state.ticked == before


def test_typing_where_nothing_can_be_typed_says_so(player):
    """A key that does nothing says what would."""
    inside(player).type("x")
    assert "nothing is typed here" in player.shown


def test_an_unknown_write_up_is_told_with_what_is_near(player):
    """A link to nothing shows words, not an empty sheet."""
    from fixbook.screen.sheeting import open_key

    inside(player)
    player.state = open_key(player.state, "amp-ones")
    player.do("down")
    assert "there is no write-up 'amp-ones'" in player.shown


def test_the_wheel_over_the_sheet_scrolls_it_from_the_search(player):
    """The sheet beside the results can be read without going inside."""
    player.send(Resized(120, 14))
    player.type("drops")
    player.send(Wheel("right", 3))
    assert (player.state.place, player.state.open.top) == (SEARCH, 3)


def test_a_changed_file_shows_its_new_text(player, shelf):
    """A write-up that changes on the disk is seen without a restart."""
    inside(player)
    shelf.add("amp-one", title="One side drops out", body="\n## News\n\nThe quibble was loose.")
    player.watcher.look()
    assert (player.state.place, "The quibble was loose." in text(player)) == (SHEET, True)
