"""The job panel of the bench screen: what it shows, as a pure function of a state and an event.

Before a job is started its lines are the complaint, the model and a first note; afterwards notes,
and what closing it takes. What is typed is in the draft at once. A note that is being written
stays in the draft until the database has it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace

from fixbook.api import (
    BAD,
    Block,
    PanelAction,
    PanelEvent,
    PanelField,
    PanelState,
    PanelWork,
    ScreenPanel,
    TextBlock,
    sentence,
)

from .job import OUTCOMES
from .panel_work import work

START, ON = "start", "on"
FIELDS = {
    START: (
        ("complaint", "complaint", "what the customer says, in their words", ""),
        ("model", "model", "model and board revision", ""),
        ("note", "first note", "what you see first; it goes in when the job is started", ""),
    ),
    ON: (
        ("note", "note", "Enter puts it into the job", "note"),
        ("work", "what was done", "kept when the job is closed", ""),
        ("outcome", "outcome", f"one of {', '.join(OUTCOMES)}", ""),
        ("minutes", "minutes", "time at the bench", ""),
        ("safety_test", "safety test", "what was tested before it goes back, and how it read", ""),
        ("soak", "soak", "minutes it ran before it was believed", ""),
    ),
}
"""Each line's name, label, what is wanted, and what Enter does in it."""
MOST_READINGS = 50
"""Readings that wait for a job to be started."""
OPENED = 5
"""Open jobs that are offered to be gone on with."""


def panel() -> ScreenPanel:
    """Give the panel."""
    begin = shown(PanelState(), {}, {})
    summary = "the job at the bench: start it, note, measure, close"
    return ScreenPanel("job", summary, begin, step, work, takes=("offered", "read"))


def step(state: PanelState, event: PanelEvent) -> PanelState:
    """Give the panel after an event."""
    memory = dict(state.memory)
    texts = {field.name: field.text for field in state.fields}
    if event.kind == "begun":
        return _recalled(state, event.text)
    if event.kind == "opened":
        return _opened(state, memory, texts, event)
    if event.kind == "chosen":
        return _chosen(state, memory, texts, event)
    if event.kind == "read":
        return _measured(state, memory, texts, event)
    if event.kind == "offered":
        texts["note"] = f"{texts.get('note', '')} {event.text}".strip()
        memory["said"] = "the answer stands in the note; Enter there puts it into the job"
        return shown(state, memory, texts)
    if event.kind == "done":
        return _done(state, memory, texts, event)
    if event.kind == "failed":
        return _failed(state, memory, texts, event)
    return shown(state, memory, texts)


def shown(
    state: PanelState,
    memory: Mapping[str, str],
    texts: Mapping[str, str],
    *,
    blocks: tuple[Block, ...] | None = None,
    ask: PanelWork | None = None,
) -> PanelState:
    """Give the state with these memories and texts: lines, actions, badge and draft follow."""
    number = memory.get("number", "")
    rows = FIELDS[ON if number else START]
    fields = tuple(
        PanelField(name, label, texts.get(name, ""), about, enter)
        for name, label, about, enter in rows
    )
    words = {name: text for name, text in texts.items() if text}
    kept = {key: memory[key] for key in ("number", "sent", "waiting") if memory.get(key)}
    draft = json.dumps({"memory": kept, "texts": words}) if words or kept else ""
    return replace(
        state,
        title=f"job {number}" if number else "no job is on",
        blocks=_said(memory) + (_without_said(state) if blocks is None else blocks),
        fields=fields,
        actions=_actions(memory, bool(words or memory.get("waiting"))),
        work=ask or state.work,
        memory=dict(memory),
        draft=draft,
        badge=f"job {number} is on" if number else "",
    )


def _actions(memory: Mapping[str, str], typed: bool) -> tuple[PanelAction, ...]:
    if memory.get("number"):
        return (
            PanelAction("close", "close the job with this outcome"),
            PanelAction("aside", "lay the job aside; it stays open"),
        )
    entry = memory.get("entry")
    where = f"start a job from {entry}" if entry else "start a job"
    found = [PanelAction("start", where)]
    for number, words in _pairs(memory.get("open", "")):
        found.append(PanelAction(f"take {number}", f"go on with job {number}: {words}"))
    if typed:
        found.append(PanelAction("clear", "throw these lines away"))
    return tuple(found)


def _recalled(state: PanelState, draft: str) -> PanelState:
    """Bring back what the last screen left, and look which jobs are open."""
    memory, texts = _read_draft(draft)
    if not draft:
        return shown(state, memory, texts)
    memory["said"] = "this is from last time, when the screen ended; nothing of it was lost"
    number = memory.get("number", "")
    ask = PanelWork("take", {"number": number}) if number else None
    return shown(state, memory, texts, ask=ask)


def _opened(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    memory["entry"] = event.entry.id if event.entry is not None else ""
    busy = state.work is not None or memory.get("number")
    ask = None if busy else PanelWork("look", {"most": str(OPENED)})
    return shown(state, memory, texts, ask=ask)


def _chosen(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    memory["said"] = memory["bad"] = ""
    number = memory.get("number", "")
    action, _, about = event.name.partition(" ")
    if action == "start":
        entry = event.entry.id if event.entry is not None else ""
        unit = event.entry.unit if event.entry is not None else ""
        unit = "" if unit == "technique" else unit
        values = {**texts, "entry": entry, "unit": unit, "when": event.when}
        values["readings"] = memory.get("waiting", "")
        return shown(state, memory, texts, ask=PanelWork("start", values))
    if action == "take":
        return shown(state, memory, texts, ask=PanelWork("take", {"number": about}))
    if action == "note" and texts.get("note", "").strip():
        memory["sent"] = texts["note"].strip()
        values = {"number": number, "text": memory["sent"], "when": event.when}
        return shown(state, memory, {**texts, "note": ""}, ask=PanelWork("note", values))
    if action == "close":
        values = {**texts, "number": number, "when": event.when}
        return shown(state, memory, texts, ask=PanelWork("close", values))
    if action == "aside":
        memory["number"], memory["said"] = "", f"job {number} stays open"
        return shown(state, memory, {}, blocks=())
    if action == "clear":
        return shown(state, {**memory, "waiting": ""}, {}, blocks=())
    return shown(state, memory, texts)


def _measured(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    """Record a reading in the job that is on; without one it waits for the start."""
    if event.entry is None:
        return state
    reading = [event.entry.id, event.name, event.text]
    number = memory.get("number", "")
    if number:
        values = {"number": number, "readings": json.dumps([reading])}
        return shown(state, memory, texts, ask=PanelWork("readings", values))
    waiting = [*_pairs(memory.get("waiting", "")), reading][-MOST_READINGS:]
    memory["waiting"] = json.dumps(waiting)
    return shown(state, memory, texts)


def _done(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    answer = event.answer if isinstance(event.answer, dict) else {}
    blocks = answer.get("blocks", ())
    if event.name != "look" or answer.get("said"):
        memory["said"], memory["bad"] = answer.get("said", ""), ""
    if event.name == "look":
        return shown(state, {**memory, "open": answer.get("open", "")}, texts)
    if event.name == "close":
        return shown(state, {**memory, "number": "", "sent": ""}, {}, blocks=blocks)
    if event.name == "start":
        memory, texts = {**memory, "waiting": ""}, {}
    if event.name == "take" and memory.get("sent") and answer.get("last") != memory["sent"]:
        texts["note"] = f"{memory['sent']} {texts.get('note', '')}".strip()
    return shown(
        state, {**memory, "number": answer.get("number", ""), "sent": ""}, texts, blocks=blocks
    )


def _failed(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    memory["said"] = event.text
    memory["bad"] = "yes"
    if event.name in ("note", "take") and memory.get("sent"):
        texts["note"] = f"{memory['sent']} {texts.get('note', '')}".strip()
        memory["sent"] = ""
    if event.name == "look":
        memory["open"] = ""
    if event.name == "take":
        memory["number"] = ""
    return shown(state, memory, texts)


def _said(memory: Mapping[str, str]) -> tuple[Block, ...]:
    text = memory.get("said", "")
    weight = BAD if memory.get("bad") else "info"
    return (TextBlock("", sentence(text), weight=weight),) if text else ()


def _without_said(state: PanelState) -> tuple[Block, ...]:
    return state.blocks[1:] if state.memory.get("said") else state.blocks


def _read_draft(draft: str) -> tuple[dict[str, str], dict[str, str]]:
    try:
        kept = json.loads(draft) if draft else {}
    except ValueError:  # what can be read of it is better than nothing
        return {}, {"note": draft}
    parts = (kept.get(name) if isinstance(kept, dict) else None for name in ("memory", "texts"))
    memory, texts = ({**one} if isinstance(one, dict) else {} for one in parts)
    return memory, texts


def _pairs(text: str) -> list[list[str]]:
    try:
        found = json.loads(text) if text else []
    except ValueError:
        return []
    return found if isinstance(found, list) else []
