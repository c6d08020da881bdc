"""What works beside the screen: lanes, drafts, and an index that is damaged meanwhile."""

from __future__ import annotations

import threading

from fixbook.screen.drafts import Drafts
from fixbook.screen.events import Resized
from fixbook.screen.lane import Lane


def test_a_lane_does_the_newest_of_each_kind():
    """What was asked before its turn came and is outdated is never done."""
    done, gate, began = [], threading.Event(), threading.Event()
    lane = Lane("test", on_fault=done.append)
    lane.ask("first", lambda: (began.set(), gate.wait(5)))
    lane.start()
    assert began.wait(5)
    for number in range(100):
        lane.ask("search", lambda n=number: done.append(n))
    gate.set()
    lane.end()
    assert done == [99]


def test_a_lane_goes_on_after_a_fault():
    """One job that fails is told, and the next is done."""
    done: list[object] = []
    lane = Lane("test", on_fault=lambda error: done.append(type(error).__name__))
    lane.ask("a", lambda: 1 / 0)
    lane.ask("b", lambda: done.append("next"))
    lane.start()
    lane.end()
    assert done == ["ZeroDivisionError", "next"]


def test_a_lane_keeps_to_its_order():
    """What the user waits for goes before the rest."""
    done: list[str] = []
    lane = Lane("test", ("check", "sheet"), on_fault=lambda error: None)
    for kind in ("other", "sheet", "check"):
        lane.ask(kind, lambda k=kind: done.append(k))
    lane.start()
    lane.end()
    assert done == ["check", "sheet", "other"]


def test_a_draft_is_given_to_the_next_screen(tmp_path):
    """What a screen left when it ended is offered."""
    first = Drafts(tmp_path, "book")
    first.open()
    first.save({"job": "half a note"})
    first.close()
    assert Drafts(tmp_path, "book").open()[0] == {"job": "half a note"}


def test_two_screens_do_not_take_each_others_drafts(tmp_path):
    """A draft of a screen that is still running stays its own."""
    first, second = Drafts(tmp_path, "book"), Drafts(tmp_path, "book")
    first.open()
    first.save({"job": "mine"})
    assert second.open()[0] == {}


def test_a_draft_of_a_plugin_that_is_not_there_stays(tmp_path):
    """Saving what is known does not drop what is not."""
    first = Drafts(tmp_path, "book")
    first.open()
    first.save({"job": "half a note"})
    first.save({"memo": "other"})
    first.close()
    assert Drafts(tmp_path, "book").open()[0] == {"job": "half a note", "memo": "other"}


def test_a_damaged_draft_is_no_obstacle(tmp_path):
    """A file that cannot be read stops no screen."""
    first = Drafts(tmp_path, "book")
    first.open()
    first.save({"job": "x"})
    first.close()
    next(tmp_path.rglob("draft.json")).write_bytes(b"\xff{")
    assert Drafts(tmp_path, "book").open()[0] == {}


def test_drafts_that_cannot_be_kept_are_told(tmp_path):
    """The user hears that what they type is not safe."""
    (tmp_path / "screens").write_text("in the way")
    drafts = Drafts(tmp_path, "book")
    drafts.open()
    assert "cannot be kept" in drafts.save({"job": "x"})


def test_words_are_remembered_for_the_next_screen(tmp_path):
    """What was searched comes back, the newest first."""
    drafts = Drafts(tmp_path, "book")
    drafts.open()
    drafts.save_recent(("newest", "older"))
    assert Drafts(tmp_path, "book").open()[1] == ("newest", "older")


def test_a_damaged_index_is_made_anew_and_searched_again(player):
    """The user sees results, not a fault."""
    damaged = []
    player.seeker._mend = damaged.append
    folder = player.watcher._library.cache / "index"
    for path in folder.glob("*.pst"):
        path.write_bytes(b"\0" * path.stat().st_size)
    player.watcher._reader.close()
    player.type("drops")
    player.seeker._mend = player.watcher.mend
    for reader in damaged:
        player.watcher.mend(reader)
    assert player.state.found.findings.hits[0].key == "amp-one"


def test_results_show_the_plugins_figures(player):
    """A line of figures that a plugin has for a write-up stands with it among the results."""
    player.send(Resized(80, 24))
    player.type("drops")
    assert "1 part, about 30 min, through hole; matched drops" in player.shown
