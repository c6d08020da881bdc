"""A write-up laid out for the screen: the sheet's blocks, with places where something can be done.

Steps can be ticked, targets can be read, links and sums can be opened. Everything else is as the
sheet of the command line shows it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fixbook.app.checking import check_reading
from fixbook.app.sheets import window_text
from fixbook.core.entry import Entry, Target, overlap
from fixbook.core.readings import WORDS
from fixbook.core.sheet import Block, CautionBlock, PanelBlock, StepsBlock, TableBlock, TextBlock
from fixbook.core.shop import Shop
from fixbook.errors import FixbookError
from fixbook.render.clean import clean_line
from fixbook.render.lines import BAD, HEADING, PLAIN, QUIET, STRONG, Line, hanging, paragraphs, wrap
from fixbook.render.markdown import markdown_lines
from fixbook.render.sheet import STYLE_OF, block_lines, title_lines
from fixbook.screen.requests import OPEN, READ, TICK, Laid, Lay, Pairs, Stop
from fixbook.store.body import parts

BOX = "[ ]"
OPENS = ("fixbook sheet ", "fixbook calc ")
"""How a command begins that the screen opens itself; others come from plugins' links alone."""


class Sheet:
    """Lines that grow, with the stops on them."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.lines: list[Line] = []
        self.stops: list[Stop] = []
        self.sums: list[tuple[str, str]] = []
        self.steps: dict[str, int] = {}
        """How many steps stand under each heading so far."""

    def gap(self) -> None:
        """Leave a line blank before the next part."""
        if self.lines and self.lines[-1]:
            self.lines.append([])

    def heading(self, text: str) -> None:
        """Begin a part."""
        self.gap()
        if text:
            self.lines += [[(HEADING, line)] for line in wrap(text, self.width)]

    def stop(self, kind: str, name: str, label: str, lines: Sequence[Line]) -> None:
        """Add lines where something can be done."""
        self.stops.append(Stop(kind, name, len(self.lines), max(1, len(lines)), label))
        self.lines += lines


def lay_sheet(
    request: Lay,
    entry: Entry,
    blocks: Sequence[Block],
    shop: Shop,
    *,
    summary: str = "",
    commands: Mapping[str, str] | None = None,
) -> Laid:
    """Lay a write-up out; `commands` are those that links of plugins' schemes open."""
    width = request.width
    sheet = Sheet(width)
    under = (entry.id, entry.unit, entry.section, f"revised {entry.revised}" * bool(entry.revised))
    sheet.lines += title_lines(entry.title, under, width)
    sheet.lines += paragraphs(summary, width, style=QUIET) if summary else []
    hazards = frozenset(entry.hazards)
    full = frozenset[str]() if request.glance else hazards - request.brief
    for block in blocks:
        if isinstance(block, CautionBlock):
            _caution(sheet, block, full)
        elif isinstance(block, StepsBlock):
            sheet.heading(block.heading)
            _steps(sheet, block.heading, block.steps)
            sheet.lines += paragraphs(block.note, width, style=QUIET) if block.note else []
        elif isinstance(block, TextBlock) and block.markdown:
            _text(sheet, block)
        elif isinstance(block, TableBlock) and block.heading == "Targets" and entry.targets:
            _targets(sheet, entry, request.readings, shop)
        elif isinstance(block, TableBlock) and block.heading == "Links":
            _links(sheet, block, commands or {})
        elif isinstance(block, PanelBlock):
            _panel(sheet, block)
        else:
            sheet.gap()
            sheet.lines += block_lines(block, width)
    return _laid(request, sheet, entry.title, entry)


def lay_blocks(request: Lay, title: str, blocks: Sequence[Block]) -> Laid:
    """Lay out what a plugin's command shows."""
    sheet = Sheet(request.width)
    sheet.lines += title_lines(title, (), request.width)
    for block in blocks:
        if isinstance(block, PanelBlock):
            _panel(sheet, block)
        else:
            sheet.gap()
            sheet.lines += block_lines(block, request.width)
    return _laid(request, sheet, title, None)


def lay_problem(request: Lay, error: FixbookError) -> Laid:
    """Lay out why there is no sheet."""
    lines: list[Line] = paragraphs(error.why, request.width, style=BAD)
    lines += paragraphs(error.hint, request.width) if error.hint else []
    return Laid(request, error.why, tuple(lines))


def _laid(request: Lay, sheet: Sheet, title: str, entry: Entry | None) -> Laid:
    stops, sums = tuple(sheet.stops), tuple(sheet.sums)
    return Laid(request, title, tuple(sheet.lines), stops, sums, entry)


def _caution(sheet: Sheet, block: CautionBlock, full: frozenset[str]) -> None:
    if not any(line and line[0][1] == "Cautions" for line in sheet.lines):
        sheet.heading("Cautions")
    sheet.lines += block_lines(block, sheet.width, full=full)


def _text(sheet: Sheet, block: TextBlock) -> None:
    """Lay a section out; every ordered list in it is steps to be ticked."""
    sheet.heading(block.heading)
    for part in parts(block.text):
        if part.steps:
            _steps(sheet, block.heading, part.steps, part.first)
        else:
            sheet.lines += markdown_lines(part.text, sheet.width)
        sheet.gap()


def _steps(sheet: Sheet, heading: str, steps: Sequence[str], first: int = 1) -> None:
    for number, step in enumerate(steps, first):
        mark = f"{number:>2}. "
        room = sheet.width - len(mark) - len(BOX)
        laid = markdown_lines(step, room) or [[]]
        pad = " " * (len(mark) + len(BOX))
        lines: list[Line] = [
            [(PLAIN, BOX), (STRONG, mark), *line] if not at else [(PLAIN, pad), *line]
            for at, line in enumerate(laid)
        ]
        place = sheet.steps[heading] = sheet.steps.get(heading, 0) + 1
        sheet.stop(TICK, f"{heading} {place}", f"{heading}, step {number}", lines)


def _targets(sheet: Sheet, entry: Entry, readings: Pairs, shop: Shop) -> None:
    sheet.heading("Targets")
    kept = dict(readings)
    for target in entry.targets:
        windows = "; ".join(window_text(target, one) for one in target.windows)
        label = f"{target.name}: {windows or 'no window is stated'}. Type a reading."
        read = kept.get(target.name, "")
        verdict = reading_lines(entry, target.name, read, shop, sheet.width) if read else []
        lines = [*_window(target, sheet.width), *verdict, *_where(target, sheet.width)]
        sheet.stop(READ, target.name, label, lines)


def _window(target: Target, width: int) -> list[Line]:
    models = f" [{', '.join(target.models)}]" if target.models else ""
    name = clean_line(f"{target.name}{models}")
    windows = [
        window_text(target, one) + (f" ({one.says})" if one.says else "") for one in target.windows
    ]
    said = " or ".join(windows) or "see the note"
    return hanging(f"{name}: ", f"{said} ({WORDS[target.reads]})", width)


def _where(target: Target, width: int) -> Iterator[Line]:
    if len(target.windows) > 1:
        both = overlap(target.windows)
        agree = f"all agree: {window_text(target, both)}" if both else "they do not overlap"
        yield from paragraphs(agree, width, indent=4)
    if target.step:
        yield from paragraphs(f"in steps of {window_text(target, target.step)}", width, indent=4)
    for text in (target.at, target.note):
        if text:
            yield from paragraphs(text, width, indent=4)


def reading_lines(entry: Entry, name: str, text: str, shop: Shop, width: int) -> list[Line]:
    """Give the verdict on a reading, under its target."""
    lines: list[Line] = []
    try:
        found = check_reading(entry, f"{name}={text}", shop)
    except FixbookError as error:
        return paragraphs(error.why, width, style=BAD, indent=4)
    for one in found:
        word = f"{one.verdict}, {one.word}" if one.word else one.verdict
        lines.append([(PLAIN, "    "), (STYLE_OF[one.weight], f"read {clean_line(text)}: {word}")])
        lines += paragraphs(one.why, width, style=QUIET, indent=4)
    return lines


def _links(sheet: Sheet, block: TableBlock, commands: Mapping[str, str]) -> None:
    sheet.heading("Links")
    for row in block.rows:
        command, what = (*row, "", "")[:2]
        lines: list[Line] = hanging("- ", what, sheet.width)
        if command.startswith(OPENS) or command in commands:
            sheet.stop(OPEN, command, f"Enter opens: {what}", lines)
        else:
            said = paragraphs(command, sheet.width, style=QUIET, indent=2) if command else []
            sheet.lines += [*lines, *said]


def _panel(sheet: Sheet, block: PanelBlock) -> None:
    if not any(value.startswith(OPENS) for value in block.values.values()):
        sheet.gap()
        sheet.lines += block_lines(block, sheet.width)
        return
    sheet.heading(block.heading)
    for name, value in block.values.items():
        if value.startswith(OPENS):
            sheet.sums.append((clean_line(name), value))
            lines = hanging("- ", name, sheet.width)
            sheet.stop(OPEN, value, f"Enter opens: {name}", lines)
        else:
            sheet.lines += hanging(f"{clean_line(name)}: ", value, sheet.width)
    sheet.lines += paragraphs(block.note, sheet.width, style=QUIET) if block.note else []
