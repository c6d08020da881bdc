"""A sheet's blocks as styled lines."""

from __future__ import annotations

from collections.abc import Container, Sequence

from fixbook.core import sheet as weights
from fixbook.core.sheet import (
    BarsBlock,
    Block,
    CautionBlock,
    CurveBlock,
    PanelBlock,
    PictureBlock,
    ReadingBlock,
    ScaleBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
)
from fixbook.render.clean import clean_line
from fixbook.render.lines import (
    BAD,
    CAUTION,
    DOUBT,
    GOOD,
    HEADING,
    PLAIN,
    QUIET,
    STRONG,
    TITLE,
    Line,
    hanging,
    paragraphs,
    text_of,
    width_of,
    wrap,
)
from fixbook.render.table import table_lines

LONG_CAUTION = 4
"""A caution of so many lines has its whole text, and stands apart from the next."""

STYLE_OF = {
    weights.INFO: PLAIN,
    weights.GOOD: GOOD,
    weights.DOUBT: DOUBT,
    weights.BAD: BAD,
}


def title_lines(title: str, under: Sequence[str], width: int) -> list[Line]:
    """Lay out a sheet's title and the line under it."""
    lines: list[Line] = [[(TITLE, line)] for line in wrap(title, width)]
    text = ", ".join(clean_line(word) for word in under if word)
    return lines + ([[(QUIET, line)] for line in wrap(text, width)] if text else [])


def sheet_lines(
    blocks: Sequence[Block], width: int, *, full: Container[str] | None = None
) -> list[Line]:
    """Lay blocks out, one blank line between them.

    Each hazard's short form is always shown, its whole text for those in `full`; None is all.
    """
    lines: list[Line] = []
    before: Block | None = None
    for block in blocks:
        laid = block_lines(block, width, full=full)
        if laid:
            together = isinstance(block, CautionBlock) and isinstance(before, CautionBlock)
            if isinstance(block, CautionBlock) and not together:
                lines += [[], [(HEADING, "Cautions")]]
            elif lines and not (together and len(laid) < LONG_CAUTION):
                lines.append([])
            lines += laid
            before = block
    return lines


def block_lines(block: Block, width: int, *, full: Container[str] | None = None) -> list[Line]:
    """Lay one block out."""
    if isinstance(block, CautionBlock):
        return _caution(block, width, full is None or block.hazard in full)
    if isinstance(block, BarsBlock) and block.told:
        return []
    heading: list[Line] = [[(HEADING, line)] for line in wrap(block.heading, width)]
    if not block.heading:
        heading = []
    if isinstance(block, TextBlock):
        if block.markdown:
            from fixbook.render.markdown import markdown_lines

            return heading + markdown_lines(block.text, width)
        return heading + paragraphs(block.text, width, style=STYLE_OF[block.weight])
    if isinstance(block, TableBlock):
        note = paragraphs(block.note, width, style=QUIET) if block.note else []
        return heading + table_lines(block.columns, block.rows, width, cut=block.cut) + note
    if isinstance(block, StepsBlock):
        return heading + _steps(block, width)
    if isinstance(block, PictureBlock):
        return heading + paragraphs(f"[picture: {block.alternative}]", width)
    if isinstance(block, ReadingBlock):
        return heading + _verdict(block, heading, width) + paragraphs(block.why, width)
    if isinstance(block, (ScaleBlock, CurveBlock, BarsBlock)):
        from fixbook.render.drawing.text import drawing_lines

        return heading + drawing_lines(block, width)
    return heading + _panel(block, width)


def _caution(block: CautionBlock, width: int, full: bool) -> list[Line]:
    lines = hanging("! ", block.short.replace("\n", " "), width, style=CAUTION)
    if full and block.full and block.full != block.short:
        lines += paragraphs(block.full, width, indent=2)
    return lines


def _verdict(block: ReadingBlock, heading: list[Line], width: int) -> list[Line]:
    """Put the verdict behind the heading's last line, or under it where it does not fit."""
    word = clean_line(f"{block.verdict}, {block.word}" if block.word else block.verdict)
    style = STYLE_OF[block.weight]
    if heading and width_of(f"{text_of(heading[-1])}: {word}") <= width:
        heading[-1].append((style, f": {word}"))
        return []
    return [[(style, line)] for line in wrap(word, width)]


def _steps(block: StepsBlock, width: int) -> list[Line]:
    from fixbook.render.markdown import markdown_lines

    lines: list[Line] = []
    for number, step in enumerate(block.steps, block.first):
        mark = f"{number:>2}. "
        for at, line in enumerate(markdown_lines(step, width - len(mark))):
            lines.append([(STRONG, mark if not at else " " * len(mark)), *line])
    return lines + (paragraphs(block.note, width, style=QUIET) if block.note else [])


def _panel(block: PanelBlock, width: int) -> list[Line]:
    lines: list[Line] = []
    for name, value in block.values.items():
        if width_of(name) + width_of(value) + 2 <= width:
            lines.append([(STRONG, f"{clean_line(name)}: "), (PLAIN, clean_line(value))])
        else:  # under its name, and unbroken: what is to be typed must be one line
            lines += [*paragraphs(name, width, style=STRONG), [(PLAIN, f"  {clean_line(value)}")]]
    return lines + (paragraphs(block.note, width, style=QUIET) if block.note else [])
