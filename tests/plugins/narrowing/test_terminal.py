"""A whole narrowing on a terminal: from a complaint to the right sheet."""

from __future__ import annotations

import re

RELAY = {
    "channel-drops-out": "seen", "returns-when-turned-up": "seen", "one-side-missing": "seen",
    "relay-clicks-in": "seen", "comes-and-goes": "seen", "grew-over-months": "seen",
}  # fmt: skip
"""What is found on an amplifier whose relay contacts are worn; anything else is not there."""
ASKED = re.compile(r"Next check\n.*?\n?\(([a-z0-9-]+), [0-9.]+ min", re.DOTALL)
PROMPT = "end):"


def prompts(number):
    """Give a condition: that it was asked so many times."""
    return lambda shown: " ".join(shown.split()).count(PROMPT) >= number


def test_a_complaint_leads_to_the_right_sheet(terminal):
    """Proposed signs, answers, a step back, a reason, the stop, the sheet, the way out."""
    words = "the left speaker of my amp cuts out and comes back if I turn it up"
    screen = terminal("narrow", "--unit", "amp", *words.split())
    first = ASKED.findall(screen.until(prompts(1)))
    assert "Proposed, not assumed" in screen.shown
    screen.press("why", "Enter")
    screen.until(prompts(2))
    assert "Why this check" in screen.shown
    screen.press("not-checked", "Enter")
    screen.until(prompts(3))
    screen.press("back", "Enter")
    again = ASKED.findall(screen.until(prompts(4)))
    assert (again[0], again[-1]) == (first[0], first[0])
    asked = 4
    while "what now" not in screen.shown:
        screen.press(RELAY.get(ASKED.findall(screen.shown)[-1], "not-seen"), "Enter")
        asked += 1
        screen.until(prompts(asked))
    assert "Open its sheet: fixbook sheet amp-relay-contacts" in " ".join(screen.shown.split())
    before = len(screen.shown.rstrip())
    screen.press("sheet", "Enter")
    sheet = screen.until(prompts(asked + 1))[before:]
    assert 0 < sheet.index("Cautions") < sheet.index("Opening") < sheet.index("Step by step")
    screen.press("end", "Enter")
    screen.until("Narrowed down (power-amplifier): ")
    assert screen.ended() == 0


def test_the_unit_is_asked_for_and_control_d_ends_it(terminal):
    """Nobody is held fast by a question."""
    screen = terminal("narrow")
    screen.until("unit, the kind of apparatus")
    screen.press("turntable", "Enter")
    screen.until(prompts(1))
    screen.press("\x04")
    assert screen.ended() == 0


def test_an_answer_that_is_none_is_asked_again(terminal):
    """With the answers that there are; Ctrl-C ends it as everywhere."""
    screen = terminal("narrow", "--unit", "turntable")
    screen.until(prompts(1))
    screen.press("purple", "Enter")
    screen.until("has no choice 'purple'")
    screen.press("Ctrl-C")
    assert screen.ended() == 130


def test_the_narrowing_stands_on_the_bench_screen(terminal):
    """Beside the results, as a panel: from the complaint to an answer."""
    screen = terminal(rows=60)
    screen.until("check")
    key = re.search(r"(F\d+) check", screen.shown)
    assert key
    screen.press(key[1])
    screen.until("complaint")
    screen.press("turntable", "Down", "my record player hums", "Enter")
    screen.until("Left over")
    shown = screen.until("not checked")
    assert "Next check" in shown
