"""The narrowing on the bench screen: what it shows, as a pure function of a state and an event.

The panel remembers the unit, the words and the answers, as texts; what follows from them is worked
out beside the screen.
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
)

from .belief import NOT_CHECKED
from .panel_work import Worker
from .reasons import spoken

UNIT, WORDS, JOB = "unit", "words", "job"
OFFERED = "offered"
"""In the memory, before the name of a line: what was filled in there and nobody typed."""
LINES = (
    (UNIT, "unit", "the kind of apparatus; empty: the words say it", "begin"),
    (WORDS, "complaint", "in any words; Enter begins", "begin"),
)
KEEP = (JOB, "job number", "Enter puts the path into that job's notes and signs", "keep")
HELP = "Say what the complaint is, and which kind of apparatus, and Enter begins."


def panel() -> ScreenPanel:
    """Give the panel, with a worker of its own."""
    begin = _shown(PanelState(title="which check next"), {}, {}, blocks=(TextBlock("", HELP),))
    summary = "which check next: from a complaint to the right sheet"
    return ScreenPanel("check", summary, begin, step, Worker().work)


def step(state: PanelState, event: PanelEvent) -> PanelState:
    """Give the panel after an event."""
    memory = dict(state.memory)
    texts = {field.name: field.text for field in state.fields}
    if event.kind == "begun" and event.text:
        return _recalled(state, event.text)
    if event.kind == "opened" and not memory.get(UNIT):
        return _offered(state, memory, texts, event)
    if event.kind == "chosen" and event.name == "clear":
        empty = _shown(replace(state, work=None), {}, {}, blocks=(TextBlock("", HELP),))
        return _offered(empty, {}, {}, event)
    if event.kind == "chosen":
        return _chosen(state, memory, texts, event.name)
    if event.kind == "done":
        return _done(state, memory, texts, event)
    if event.kind == "failed":
        blocks = (TextBlock("", event.text, weight=BAD), *state.blocks)
        return _shown(state, memory, texts, blocks=blocks)
    return _shown(state, memory, texts)


def _offered(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    """Fill in the open sheet's unit and the words searched, but over nothing that was typed."""
    unit = event.entry.unit if event.entry is not None else ""
    for name, new in ((UNIT, "" if unit == "technique" else unit), (WORDS, event.text)):
        if new and texts.get(name, "") in ("", memory.get(f"{OFFERED} {name}", "")):
            texts[name] = memory[f"{OFFERED} {name}"] = new
    return _shown(state, memory, texts)


def _chosen(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], name: str
) -> PanelState:
    action, _, about = name.partition(" ")
    said = _said(memory)
    if action == "begin":
        memory = {UNIT: texts.get(UNIT, ""), WORDS: texts.get(WORDS, "")}
        return _ask(state, memory, texts, "begin")
    if action == "answer" and memory.get("sign"):
        memory["said"] = json.dumps([*said, [memory["sign"], about]])
        return _ask(state, memory, texts, "step")
    if action == "back" and said:
        memory["said"] = json.dumps(said[:-1])
        return _ask(state, memory, texts, "step")
    if action in ("why", "step"):
        return _ask(state, memory, texts, action)
    if action == "sheet":
        return _ask(state, memory, texts, "sheet", id=about)
    if action == "keep":
        return _ask(state, memory, texts, "keep", job=texts.get(JOB, ""))
    return _shown(state, memory, texts)


def _done(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], event: PanelEvent
) -> PanelState:
    answer: Mapping[str, object] = event.answer
    asked = memory.get(UNIT, "")
    memory |= {key: str(text) for key, text in answer.items() if key != "blocks"}
    if event.name == "begin" and texts.get(UNIT, "") == asked:
        texts = {**texts, UNIT: memory.get(UNIT, "")}
    blocks = answer.get("blocks", ())
    return _shown(state, memory, texts, blocks=tuple(blocks) if isinstance(blocks, list) else ())


def _ask(
    state: PanelState, memory: dict[str, str], texts: dict[str, str], name: str, **more: str
) -> PanelState:
    values = {key: memory.get(key, "") for key in (UNIT, WORDS, "said")}
    return _shown(state, memory, texts, work=PanelWork(name, {**values, **more}))


def _shown(
    state: PanelState,
    memory: Mapping[str, str],
    texts: Mapping[str, str],
    *,
    blocks: tuple[Block, ...] | None = None,
    work: PanelWork | None = None,
) -> PanelState:
    """Give the state with these memories and texts: lines, actions and draft follow."""
    lines = (*LINES, KEEP) if memory.get("said") else LINES
    fields = tuple(
        PanelField(name, label, texts.get(name, ""), about, enter)
        for name, label, about, enter in lines
    )
    kept = {key: memory[key] for key in (UNIT, WORDS, "said") if memory.get(key)}
    typed = {
        name: text
        for name, text in texts.items()
        if text and text != memory.get(name) and text != memory.get(f"{OFFERED} {name}")
    }
    kept |= {"typed": json.dumps(typed)} if typed else {}
    return replace(
        state,
        blocks=state.blocks if blocks is None else blocks,
        fields=fields,
        actions=_actions(memory),
        work=work or state.work,
        memory=dict(memory),
        draft=json.dumps(kept) if kept else "",
        badge=f"narrowing down: {memory[UNIT]}" if memory.get(UNIT) else "",
    )


def _actions(memory: Mapping[str, str]) -> tuple[PanelAction, ...]:
    if not memory.get(UNIT):
        return ()
    answers = json.loads(memory.get("answers", "[]"))
    found = [PanelAction(f"answer {one}", spoken(one)) for one in answers]
    if answers:
        found.append(PanelAction(f"answer {NOT_CHECKED}", "not checked"))
    if _said(memory):
        found.append(PanelAction("back", "step back"))
    found.append(PanelAction("why", "why"))
    found += [
        PanelAction(f"sheet {id}", f"open the sheet {id}")
        for id in json.loads(memory.get("sheets", "[]"))
    ]
    found.append(PanelAction("step", "show the check again"))
    return (*found, PanelAction("clear", "begin anew"))


def _said(memory: Mapping[str, str]) -> list[list[str]]:
    found: list[list[str]] = json.loads(memory.get("said") or "[]")
    return found


def _recalled(state: PanelState, draft: str) -> PanelState:
    """Bring back what the last screen left; a draft that cannot be read is let go."""
    try:
        kept = json.loads(draft)
        memory = {key: str(kept[key]) for key in (UNIT, WORDS, "said") if kept.get(key)}
        pairs = [(str(sign), str(answer)) for sign, answer in _said(memory)]
        typed = {str(name): str(text) for name, text in json.loads(kept.get("typed", "{}")).items()}
    except (ValueError, TypeError, AttributeError, RecursionError):
        return state
    memory["said"] = json.dumps(pairs) if pairs else ""
    texts = {key: memory.get(key, "") for key in (UNIT, WORDS)} | typed
    begun = memory.get(UNIT) or memory.get(WORDS)
    return _ask(state, memory, texts, "begin") if begun else _shown(state, memory, texts)
