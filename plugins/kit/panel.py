"""The kit of the sheet on the bench screen, held against the shop's stock list."""

from __future__ import annotations

from dataclasses import replace

from fixbook.api import (
    BAD,
    Bench,
    Block,
    PanelEvent,
    PanelState,
    PanelWork,
    ScreenPanel,
    TextBlock,
)

from .lines import pick_list
from .showing import Kit, kit_blocks

PICK = "pick"
EMPTY = "Open a sheet first; its kit comes here."


def panel() -> ScreenPanel:
    """Give the panel."""
    begin = PanelState("kit", (TextBlock("", EMPTY),))
    return ScreenPanel("kit", "parts and tools of the sheet, ready to pick", begin, step, work)


def step(state: PanelState, event: PanelEvent) -> PanelState:
    """Show the kit of the sheet in sight; the drawers are looked through beside the screen."""
    if event.kind == "opened" and event.entry is not None:
        entry = event.entry
        blocks = kit_blocks(Kit((entry,), tuple(pick_list([entry]))))
        wanted = PanelWork(PICK, {"id": entry.id})
        return replace(state, title=f"kit: {entry.title}", blocks=blocks, work=wanted)
    if event.kind == "done" and event.answer:
        return replace(state, blocks=tuple(event.answer), work=None)
    if event.kind == "failed":
        told = TextBlock("Stock list", event.text, weight=BAD)
        return replace(state, blocks=(told, *state.blocks), work=None)
    return replace(state, work=None)


def work(bench: Bench, wanted: PanelWork) -> tuple[Block, ...]:
    """Hold the kit against the shop's stock list; nothing where it has none."""
    from .command import gather
    from .stock import find_stock

    file = find_stock(bench, None)
    return kit_blocks(gather(bench, [wanted.values["id"]], file)) if file else ()
