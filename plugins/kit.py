"""The parts list of one or several write-ups, ready to pick."""

from __future__ import annotations

import argparse
import csv
import io
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from fixbook.api import (
    Bench,
    Block,
    Command,
    Entry,
    PanelEvent,
    PanelState,
    Part,
    ScreenPanel,
    TableBlock,
    TextBlock,
    hook,
)

COLUMNS = ("count", "what", "value", "for", "at", "instead")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a pick list."""

    count: int
    what: str
    value: str
    for_: str
    """The write-up it is for."""
    at: str
    instead: tuple[str, ...] = ()

    def cells(self) -> tuple[str, ...]:
        """Give the line as texts, in the order of COLUMNS."""
        stand_ins = ", or ".join(self.instead)
        return str(self.count), self.what, self.value, self.for_, self.at, stand_ins


@hook
def fixbook_commands() -> list[Command]:
    """Give `fixbook kit`."""
    return [Command("kit", "list the parts and tools of write-ups, ready to pick", options, run)]


@hook
def fixbook_summary(entry: Entry) -> str:
    """Say in a line what a write-up takes."""
    parts = sum(part.count for part in entry.parts)
    words = [f"{parts} part{'s' if parts != 1 else ''}" if parts else ""]
    words.append(f"about {entry.minutes} min" if entry.minutes else "")
    words.append(entry.skill.replace("-", " "))
    return ", ".join(word for word in words if word)


@hook
def fixbook_screen_panels() -> list[ScreenPanel]:
    """Show the kit of the sheet on the bench screen."""
    begin = PanelState("kit", (TextBlock("", "Open a sheet first; its kit comes here."),))
    return [ScreenPanel("kit", "parts and tools of the sheet, ready to pick", begin, panel_step)]


def panel_step(state: PanelState, event: PanelEvent) -> PanelState:
    """Show the kit of the sheet in sight."""
    if event.kind != "opened" or event.entry is None:
        return state
    entry = event.entry
    return replace(state, title=f"kit: {entry.title}", blocks=kit_blocks([entry]))


def options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("ids", nargs="+", metavar="ID", help="write-ups, as 'fixbook find' shows")
    parser.add_argument("--csv", action="store_true", help="print the parts as CSV")


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Print the pick list of the write-ups that were named."""
    entries = [bench.entry(id) for id in dict.fromkeys(given.ids)]
    lines = pick_list(entries)
    if given.json:
        print(json.dumps(as_json(entries, lines), indent=1))
    elif given.csv:
        print(as_csv(lines), end="")
    else:
        bench.show(kit_blocks(entries))
    return 0


def kit_blocks(entries: Sequence[Entry]) -> tuple[Block, ...]:
    """Give the kit of write-ups as blocks: parts, tools, supplies."""
    rows = tuple(line.cells() for line in pick_list(entries))
    nothing = TextBlock("", "These write-ups replace no parts.")
    return (
        TableBlock("Parts", COLUMNS, rows) if rows else nothing,
        TextBlock("Tools", ", ".join(together(entries, "tools")) or "none"),
        TextBlock("Supplies", ", ".join(together(entries, "supplies")) or "none"),
    )


def pick_list(entries: Iterable[Entry]) -> list[Line]:
    """Give the parts of write-ups in their order; each write-up's parts stay its own."""
    return [
        Line(part.count, part.is_, part_value(part), entry.id, part.at, part.instead)
        for entry in entries
        for part in entry.parts
    ]


def part_value(part: Part) -> str:
    """Give all that a part must be, in a line."""
    esr = f"ESR {part.esr}" if part.esr else ""
    ripple = f"ripple {part.ripple}" if part.ripple else ""
    body = f"body {part.body}" if part.body else ""
    wanted = (part.value, part.volts, part.temperature, esr, ripple, body)
    return "; ".join(one for one in wanted if one)


def together(entries: Sequence[Entry], field: str) -> list[str]:
    """Give the tools or supplies of all write-ups, each once."""
    return list(dict.fromkeys(one for entry in entries for one in getattr(entry, field)))


def as_csv(lines: Sequence[Line]) -> str:
    """Write the lines as CSV that a spreadsheet opens as text, never as a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows([harmless(cell) for cell in line.cells()] for line in lines)
    return out.getvalue()


def harmless(cell: str) -> str:
    """Keep a spreadsheet from running a cell: one that begins like a formula gets a quote."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell


def as_json(entries: Sequence[Entry], lines: Sequence[Line]) -> dict[str, object]:
    """Give the pick list as plain values."""
    return {
        "entries": [entry.id for entry in entries],
        "parts": [
            {
                "count": line.count,
                "what": line.what,
                "value": line.value,
                "for": line.for_,
                "at": line.at,
                "instead": list(line.instead),
            }
            for line in lines
        ],
        "tools": together(entries, "tools"),
        "supplies": together(entries, "supplies"),
    }
