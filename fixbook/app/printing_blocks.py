"""What a sheet has on paper and not on a screen: blanks for readings, boxes to tick."""

from __future__ import annotations

import re
from collections.abc import Sequence

from fixbook.core.entry import Entry, Target, overlap
from fixbook.core.readings import WORDS
from fixbook.core.sheet import Block, ScaleBlock, StepsBlock, TableBlock, TextBlock
from fixbook.store.body import Section, parts

BLANKS = ("before", "after")
_NUMBERED = re.compile(r"^[ \t>*+-]*\d{1,9}[.)]", re.MULTILINE)


def targets_on_paper(entry: Entry) -> list[Block]:
    """Give each target with its windows on a scale, and room for the readings."""
    if not entry.targets:
        return []
    return [TextBlock("Targets", ""), *(_target(target) for target in entry.targets)]


def kit_on_paper(entry: Entry, needed: Sequence[TableBlock]) -> list[Block]:
    """Give the parts, tools and supplies, each with a box to tick."""
    work = [entry.skill.replace("-", " ") if entry.skill else ""]
    work.append(f"about {entry.minutes} minutes" if entry.minutes else "")
    note = f"Work: {', '.join(word for word in work if word)}." if any(work) else ""
    blocks: list[Block] = [part._replace(ticked=True) for part in needed]
    tools = tuple((one,) for one in (*entry.tools, *entry.supplies))
    if tools:
        blocks.append(TableBlock("Have to hand", ("",), tools, note, ticked=True))
    elif note:
        blocks.append(TextBlock("", note))
    return blocks


def with_boxes(section: Section) -> list[Block]:
    """Give a section with each of its ordered lists as steps, which have boxes to tick."""
    blocks: list[Block] = []
    if not _NUMBERED.search(section.text):  # nothing in it begins an ordered list
        return [TextBlock(section.heading, section.text, markdown=True)]
    for part in parts(section.text):
        heading = section.heading if not blocks else ""
        if part.steps:
            blocks.append(StepsBlock(heading, part.steps, first=part.first))
        else:
            blocks.append(TextBlock(heading, part.text, markdown=True))
    return blocks or [TextBlock(section.heading, "")]


def _target(target: Target) -> ScaleBlock:
    from fixbook.app.sheets import window_text

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
