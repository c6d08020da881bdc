"""What a sheet has on paper and not on a screen: blanks for readings, boxes to tick."""

from __future__ import annotations

from fixbook.core.entry import Entry, Part, Target
from fixbook.core.readings import WORDS
from fixbook.core.sheet import Block, ScaleBlock, TableBlock, TextBlock

BLANKS = ("before", "after")


def targets_on_paper(entry: Entry) -> list[Block]:
    """Give each target with its windows on a scale, and room for the readings."""
    if not entry.targets:
        return []
    return [TextBlock("Targets", ""), *(_target(target) for target in entry.targets)]


def kit_on_paper(entry: Entry) -> list[Block]:
    """Give the parts, tools and supplies, each with a box to tick."""
    from fixbook.app.sheets import part_details

    work = [entry.skill.replace("-", " ") if entry.skill else ""]
    work.append(f"about {entry.minutes} minutes" if entry.minutes else "")
    note = f"Work: {', '.join(word for word in work if word)}." if any(work) else ""
    rows = [_part(part, part_details(part)) for part in entry.parts]
    blocks: list[Block] = []
    if rows:
        blocks.append(
            TableBlock("Parts", ("at", "count", "what", "value"), tuple(rows), ticked=True)
        )
    tools = tuple((one,) for one in (*entry.tools, *entry.supplies))
    if tools:
        blocks.append(TableBlock("Have to hand", ("",), tools, note, ticked=True))
    elif note:
        blocks.append(TextBlock("", note))
    return blocks


def _part(part: Part, details: str) -> tuple[str, ...]:
    return part.at, str(part.count), part.is_, details


def _target(target: Target) -> ScaleBlock:
    from fixbook.app.sheets import overlap, window_text

    reads = WORDS[target.reads]
    name = target.name if reads.split(",")[0] in target.name else f"{target.name} ({reads})"
    if target.models:
        name += f" [{', '.join(target.models)}]"
    windows = []
    for window in target.windows:
        said = window_text(target, window) + (f" ({window.says})" if window.says else "")
        windows.append((window.low, window.high, said))
    notes = []
    if not windows:
        notes.append("window: see the note")
    if len(windows) > 1:
        both = overlap(target.windows)
        agree = f"all agree: {window_text(target, both)}" if both else "the windows do not overlap"
        notes.append(agree)
    if target.step:
        notes.append(f"in steps of {window_text(target, target.step)}")
    if target.note:
        notes.append(target.note)
    return ScaleBlock(
        name, target.kind.name, tuple(windows), at=target.at, notes=tuple(notes), blanks=BLANKS
    )
