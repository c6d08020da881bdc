"""The kit of the sheet on the bench screen, held against the shop's stock list."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace

from fixbook.api import (
    BAD,
    Bench,
    PanelEvent,
    PanelField,
    PanelState,
    PanelWork,
    ScreenPanel,
    TextBlock,
)

from .errors import KitError
from .lines import pick_list
from .showing import Kit, kit_blocks, to_look_at

PICK = "pick"
SAY = "type what stands on the part into its line above"
ABOUT = "what stands on the part, as in 4700 uF 35 V 105 C; Enter looks through the drawers again"
MOST_MARKED = 20
"""Write-ups whose parts' marks are kept."""
EMPTY = "Open a sheet first; its kit comes here."


def panel() -> ScreenPanel:
    """Give the panel."""
    begin = PanelState("kit", (TextBlock("", EMPTY),))
    return ScreenPanel("kit", "parts and tools of the sheet, ready to pick", begin, step, work)


def step(state: PanelState, event: PanelEvent) -> PanelState:
    """Show the kit of the sheet in sight; the drawers are looked through beside the screen.

    The memory has the write-up's `id`, and in `marked` what was typed of its parts and others'.
    """
    memory = dict(state.memory)
    if event.kind == "begun":
        return _kept(state, {**memory, "marked": event.text})
    if event.kind == "opened" and event.entry is not None:
        entry = event.entry
        blocks = kit_blocks(Kit((entry,), tuple(pick_list([entry]))))
        state = replace(state, title=f"kit: {entry.title}", blocks=blocks)
        state = state if memory.get("id") == entry.id else replace(state, fields=())
        return _kept(state, {**memory, "id": entry.id}, ask=True)
    if event.kind == "typed":
        marks = _marks(memory)
        typed = {field.name: field.text.strip() for field in state.fields}
        others = {id: texts for id, texts in marks.items() if id != memory.get("id")}
        marks = {memory.get("id", ""): {at: text for at, text in typed.items() if text}, **others}
        some = [(id, texts) for id, texts in marks.items() if texts][:MOST_MARKED]
        return _kept(state, {**memory, "marked": json.dumps(dict(some)) if some else ""})
    if event.kind == "chosen" and memory.get("id"):
        return _kept(state, memory, ask=True)
    if event.kind == "done" and event.answer:
        marked = _marks(memory).get(memory.get("id", ""), {})
        fields = tuple(
            PanelField(at, f"{at}, as marked", marked.get(at, ""), ABOUT, PICK)
            for at in event.answer["looks"]
        )
        return replace(state, blocks=event.answer["blocks"], fields=fields, work=None)
    if event.kind == "failed":
        told = TextBlock("Stock list", event.text, weight=BAD)
        return replace(state, blocks=(told, *state.blocks), work=None)
    return replace(state, work=None) if event.kind == "done" else state


def work(bench: Bench, wanted: PanelWork) -> dict[str, object]:
    """Hold the kit against the shop's stock list; nothing where it has none."""
    from .command import gather
    from .stock import find_stock

    try:
        file = find_stock(bench, None)
    except KitError as error:
        hint = "keep it in the book's folder, and name it in fixbook.toml"
        raise KitError(error.why, hint=hint, input=error.input, read=error.read) from error
    if not file:
        return {}
    id = wanted.values["id"]
    places = {line.place for line in pick_list([bench.entry(id)])}
    found = json.loads(wanted.values.get("marked") or "{}")
    marked = {at: text for at, text in found.items() if at in places}
    kit = gather(bench, [id], file, marked)
    looks = {*to_look_at(kit), *marked}
    in_order = dict.fromkeys(line.place for line in kit.lines if line.place in looks)
    return {"blocks": kit_blocks(kit, SAY), "looks": list(in_order)}


def _kept(state: PanelState, memory: Mapping[str, str], *, ask: bool = False) -> PanelState:
    """Give the state with this memory, as draft too; with `ask` the drawers are looked through."""
    values = {"id": memory.get("id", "")}
    if marked := _marks(memory).get(values["id"]):
        values["marked"] = json.dumps(marked)
    wanted = PanelWork(PICK, values) if ask else state.work
    return replace(state, memory=memory, draft=memory.get("marked", ""), work=wanted)


def _marks(memory: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Give what was typed of parts, by write-up and place; what cannot be read is let go."""
    try:
        found = json.loads(memory.get("marked") or "{}")
        return {
            str(id): {str(at): str(text) for at, text in texts.items()}
            for id, texts in found.items()
        }
    except (ValueError, AttributeError, RecursionError):
        return {}
