"""A new technician's session: from a job to a write-up that a customer's words find."""

from __future__ import annotations

import json

import pytest

SESSION = (
    ("unit:", ""),
    ("models it is about", ""),
    ("what was seen", "low-drone always"),
    ("what was seen", ""),
    ("what was found", "The relay contact is oxidised."),
    ("title:", ""),
    ("section of the unit:", "output"),
    (
        "what was measured",
        "contact resistance; across the closed contact, unplugged; 0 .. 100 mohm",
    ),
    ("what was measured", ""),
    ("what was replaced", "relay; 24 V coil; RL1"),
    ("what was replaced", ""),
    ("what was done", ""),
    ("how it was proved:", "Ten minutes loud, both sides alike."),
    ("what can hurt", "mains"),
    ("tools, with commas:", "multimeter"),
    ("skill:", "through-hole"),
    ("minutes:", ""),
    ("id:", ""),
)
"""Each prompt, and what is typed at it."""


@pytest.fixture
def job(book, process):
    """Book a unit in and mend it, so that there is something to write up."""
    complaint = "the right speaker dies after a while"
    new = ("job", "new", "--number", "2041", "--unit", "test-amp", "--complaint", complaint)
    assert process(*new).returncode == 0
    work = "work=Unplugged it. Cleaned the relay contact."
    assert process("job", "edit", "2041", work, "minutes=35").returncode == 0
    return "2041"


@pytest.fixture
def editor(tmp_path, monkeypatch):
    """Name an editor that notes which file it was given and adds a line to it."""
    script = tmp_path / "editor"
    script.write_text('#!/bin/sh\necho "" >> "$1"\necho "Seen once." >> "$1"\n', encoding="utf-8")
    script.chmod(0o755)
    monkeypatch.setenv("VISUAL", str(script))


def test_a_session_from_a_job_to_the_first_hit(job, editor, on_terminal, process, book):
    """Under forty prompts, most of them Enter: the customer's words find the write-up first, and
    the text from the editor is filed whole."""
    screen = on_terminal("write", "--from-job", job)
    for prompt, typed in SESSION:
        screen.wait_for(prompt)
        screen.said = screen.said.rpartition(prompt)[2]
        screen.type(f"{typed}\r")
    screen.wait_for("found under")
    assert screen.end() == 0
    found = json.loads(process("find", "right", "speaker", "dies", "--json").stdout)
    assert found["hits"][0]["id"] == "amp-right-speaker-dies-after"
    assert len(SESSION) < 40
    text = (book.folder / "entries/test-amp/amp-right-speaker-dies-after.md").read_text()
    assert ("(job:2041)" in text, text.endswith("Seen once.\n"), "gap" in text) == (
        True, True, False,
    )  # fmt: skip


def test_leaving_half_way_keeps_the_answers(book, on_terminal, process):
    """Ctrl-D at a prompt: what was answered is a draft that can be gone on with."""
    screen = on_terminal("write", "amp-thin")
    screen.wait_for("unit:")
    screen.type("test-amp\r")
    screen.wait_for("models it is about")
    screen.type("\x04")
    screen.wait_for("kept as a draft")
    assert screen.end() == 1
    kept = json.loads((book.folder / "drafts/amp-thin.json").read_text())
    assert kept["answers"] == {"unit": "test-amp"}


def test_a_kill_at_a_prompt_loses_only_the_line_being_typed(book, on_terminal):
    """The terminal goes away: the answers given before are in the draft."""
    import os
    import signal

    screen = on_terminal("write", "amp-thin")
    screen.wait_for("unit:")
    screen.type("amp\r")
    screen.wait_for("models it is about")
    screen.type("TA 100")
    os.kill(screen.pid, signal.SIGKILL)
    screen.end()
    kept = json.loads((book.folder / "drafts/amp-thin.json").read_text())
    assert kept["answers"] == {"unit": "test-amp"}


def test_a_wrong_word_is_explained_at_the_prompt(book, on_terminal):
    """An unknown unit is refused with a close match, and can be mended there."""
    screen = on_terminal("write", "amp-thin")
    screen.wait_for("unit:")
    screen.type("test-amq\r")
    screen.wait_for("did you mean test-amp")
    screen.type("\x7fp\r")
    screen.wait_for("models it is about")
    screen.type("\x04")
    assert screen.end() == 1


def test_a_near_write_up_can_be_extended_instead(book, on_terminal, process):
    """The number of a near write-up adds the answers to it; no second one is made."""
    book.add("amp-one", title="One side drops out until the volume is turned up")
    screen = on_terminal("write")
    typed = {
        "unit:": ["test-amp"],
        "what was seen": ["one side drops out until the volume is turned up", ""],
        "extend one of these?": ["1"],
    }
    for prompt in (*dict.fromkeys(one for one, _ in SESSION[:-1]), "extend one of these?"):
        for text in typed.get(prompt, [""]):
            screen.wait_for(prompt)
            screen.said = screen.said.rpartition(prompt)[2]
            screen.type(f"{text}\r")
    screen.wait_for("found under")
    assert screen.end() == 0
    files = [path.name for path in (book.folder / "entries/test-amp").iterdir()]
    text = (book.folder / "entries/test-amp/amp-one.md").read_text()
    assert (files, "## Seen again" in text) == (["amp-one.md"], True)
