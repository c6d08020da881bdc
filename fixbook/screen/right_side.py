"""The right side: the sheet, a calculator's form, or a plugin's panel."""

from __future__ import annotations

from collections.abc import Sequence

from fixbook.core.sheet import Block
from fixbook.render.clean import clean_line
from fixbook.render.lines import CAUTION, DOUBT, PLAIN, QUIET, STRONG, TITLE, Line, wrap
from fixbook.render.sheet import block_lines
from fixbook.screen.fit import Row, fit, whole
from fixbook.screen.keys import panel_key
from fixbook.screen.left_side import CHOSEN
from fixbook.screen.requests import TICK, Stop
from fixbook.screen.sheeting import in_sight
from fixbook.screen.state import FORM, PANEL, SHEET, Filling, Paneled, State

NAME_WIDTH = 24
_LAID: dict[int, tuple[tuple[Block, ...], list[Row]]] = {}
"""The blocks of the panel in sight as they were laid out last, by width."""


def right_side(state: State) -> list[Row]:
    """Give the rows of the right side, at most as many as the body has."""
    if state.place == FORM and state.filling is not None:
        return _windowed(*_form(state, state.filling), state.filling.top, state.body)
    if state.place == PANEL and state.paneled is not None:
        return _windowed(*_panel(state, state.paneled), state.paneled.top, state.body)
    return _sheet(state)


def heading(state: State) -> str:
    """Say what the right side shows."""
    if state.place == FORM and state.filling is not None:
        return f"sum: {state.filling.form.name}"
    if state.place == PANEL and state.paneled is not None:
        return f"{panel_key(state.panel)} {_titled(state.paneled)}".strip()
    sheet = in_sight(state)
    if sheet is None:
        return "sheet"
    last = min(len(sheet.lines), state.open.top + state.body)
    done = sum(1 for key, _ in state.ticked if key == state.open.key)
    ticks = f", {done} ticked" if done else ""
    return f"sheet, lines {state.open.top + 1} to {last} of {len(sheet.lines)}{ticks}"


def _titled(paneled: Paneled) -> str:
    """Begin with the panel's name, so that no two panels look alike."""
    name, title = paneled.panel.name, paneled.state.title or paneled.panel.summary
    return title if title.startswith(name) else f"{name}: {title}"


def _sheet(state: State) -> list[Row]:
    sheet = in_sight(state)
    if sheet is None:
        said = "The sheet is being laid out." if state.open.key else ""
        return [Row([(QUIET, said)])]
    top, bottom = state.open.top, state.open.top + state.body
    numbers = range(len(sheet.stops))
    at = {n: stop for n, stop in zip(numbers, sheet.stops, strict=True) if _near(stop, top, bottom)}
    owner = {line: n for n, stop in at.items() for line in range(stop.line, stop.line + stop.lines)}
    width = state.right_width
    rows = []
    for number, line in enumerate(sheet.lines[top:bottom], top):
        stop = owner.get(number)
        if stop is None:
            rows.append(Row(line))
            continue
        line = _marked(state, sheet.stops[stop], line, number)
        current = state.place == SHEET and stop == state.open.stop
        made = fit(line, width, style=CHOSEN) if current else line
        rows.append(whole(made, width, "stop", str(stop)))
    return rows


def _near(stop: Stop, top: int, bottom: int) -> bool:
    return stop.line < bottom and stop.line + stop.lines > top


def _marked(state: State, stop: Stop, line: Line, number: int) -> Line:
    if stop.kind == TICK and number == stop.line and (state.open.key, stop.name) in state.ticked:
        return [(STRONG, "[x]"), *line[1:]]
    return line


def _form(state: State, filling: Filling) -> tuple[list[Row], int]:
    width = state.right_width
    rows = [Row([(TITLE, line)]) for line in wrap(filling.form.question, width)]
    for caution in filling.form.cautions:
        rows += [Row([(CAUTION, line)]) for line in wrap(f"! {caution}", width)]
    rows.append(Row([]))
    done = filling.computed
    current = 0
    for at, (field, text) in enumerate(zip(filling.form.fields, filling.texts, strict=True)):
        mark = "> " if at == filling.at else "  "
        name = clean_line(field.name.replace("_", " "))
        shown = clean_line(text) if text else f"({field.default})"
        line: Line = [(STRONG, f"{mark}{name:<{NAME_WIDTH}}"), (PLAIN if text else QUIET, shown)]
        if at == filling.at:
            current = len(rows)
            rows.append(whole(fit(line, width, style=CHOSEN), width, "row", str(at)))
            rows += [Row([(QUIET, f"    {one}")]) for one in wrap(field.about, width - 4)]
        else:
            rows.append(whole(line, width, "row", str(at)))
    rows.append(Row([]))
    if done is not None and done.wanting:
        rows += [Row([(DOUBT, one)]) for one in wrap(done.wanting, width)]
    rows += [Row(one) for one in (done.lines if done else ())]
    return rows, current


def _panel(state: State, paneled: Paneled) -> tuple[list[Row], int]:
    width = state.right_width
    fields, actions = paneled.state.fields, paneled.state.actions
    rows: list[Row] = []
    current = 0
    for at, field in enumerate(fields):
        mark = "> " if at == paneled.at else "  "
        label = f"{mark}{clean_line(field.label):<{NAME_WIDTH}}"
        line: Line = [(STRONG, label), (PLAIN, clean_line(field.text))]
        here = at == paneled.at
        current = len(rows) if here else current
        made = fit(line, width, style=CHOSEN) if here else line
        rows.append(whole(made, width, "row", str(at)))
        if here and field.about:
            rows += [Row([(QUIET, f"    {one}")]) for one in wrap(field.about, width - 4)]
    for at, action in enumerate(actions, len(fields)):
        here = at == paneled.at
        current = len(rows) if here else current
        line = [(STRONG, ("> " if here else "  ") + f"[ {clean_line(action.label)} ]")]
        made = fit(line, width, style=CHOSEN) if here else line
        rows.append(whole(made, width, "row", str(at)))
    if paneled.state.work is not None:
        rows.append(Row([(QUIET, "One moment.")]))
    return [*rows, *_block_rows(paneled.state.blocks, width)], current


def _block_rows(blocks: tuple[Block, ...], width: int) -> list[Row]:
    """Lay a panel's blocks out, once for as long as they are the same."""
    kept = _LAID.get(width)
    if kept is None or kept[0] is not blocks:
        rows: list[Row] = []
        for block in blocks:
            rows.append(Row([]))
            rows += [Row(line) for line in block_lines(block, width)]
        _LAID.clear()
        kept = _LAID[width] = (blocks, rows)
    return kept[1]


def _windowed(rows: Sequence[Row], current: int, top: int, body: int) -> list[Row]:
    """Give the rows in sight: from `top` on where it was scrolled, else around the current."""
    if not top and current >= body - 2:
        top = current - body + 3
    top = max(0, min(top, len(rows) - body))
    return list(rows[top : top + body])
