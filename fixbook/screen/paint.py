"""The whole screen under the input line, as rows of exactly the terminal's width."""

from __future__ import annotations

from fixbook.core.problems import sentence
from fixbook.render.clean import clean_line
from fixbook.render.lines import DOUBT, HEADING, PLAIN, QUIET, STRONG, Line, text_of, width_of
from fixbook.screen.fit import Row, Zone, beside, fit, wrap_pieces
from fixbook.screen.keys import Hint, fitting, general, hints
from fixbook.screen.left_side import heading as left_heading
from fixbook.screen.left_side import left_side
from fixbook.screen.right_side import heading as right_heading
from fixbook.screen.right_side import right_side
from fixbook.screen.state import ANSWERS, FORM, KEYS, PANEL, SHEET, SUMS, State

MOST_SAID = 4
"""Rows that a word to the user may take; they lie over the body's last ones."""
ON_THE_RIGHT = (SHEET, FORM, PANEL)
GAP = "  "
NARROW_GAP = 30
LEAST_NAME = 14
"""So many columns of a heading's name stay, whatever stands beside it."""


def paint(state: State) -> list[Row]:
    """Give the rows under the input line, from the top."""
    said = [
        Row(line) for line in wrap_pieces(about(state), state.columns)[: min(MOST_SAID, state.body)]
    ]
    body = _body(state)
    rows = [*said, _headings(state), *body[: len(body) - len(said) + 1]]
    rows += [_keys(hints(state), state.columns), _keys(general(state), state.columns)]
    return [Row(fit(row.line, state.columns), row.zones) for row in rows]


def about(state: State) -> Line:
    """Say what the user should know now: a word to them, a verdict, or what was searched."""
    if state.told:
        return [(DOUBT, clean_line(state.told))]
    if state.place == SHEET:
        return _about_sheet(state)
    if state.place == FORM and state.filling and state.filling.computed:
        done = state.filling.computed
        if done.wanting:
            return [(QUIET, clean_line(done.wanting))]
        return [(done.weight, clean_line(done.verdict))]
    if state.place == PANEL and state.paneled:
        return [(PLAIN, clean_line(state.paneled.panel.summary))]
    if state.place in (SUMS, ANSWERS, KEYS):  # these lists have nothing to do with the search
        return [(QUIET, clean_line(state.hears))]
    return _about_search(state)


def _about_sheet(state: State) -> Line:
    if state.checked is not None:
        return state.checked.pieces
    stop = state.stop
    return [(PLAIN, clean_line(stop.label))] if stop else [(PLAIN, "")]


def _about_search(state: State) -> Line:
    line: Line = []
    if state.narrowed:
        said = ", ".join(f"{facet} {value}" for facet, value in state.narrowed)
        line.append((STRONG, f"narrowed by {clean_line(said)}. "))
    if state.found is None:
        return [*line, (QUIET, state.hears)]
    findings = state.found.findings
    if findings.mended:
        said = ", ".join(f"{old} read as {new}" for old, new in findings.mended.items())
        nearest = f"No write-up has these words; nearest: {clean_line(said)}"
        line.append((DOUBT, f"{sentence(nearest)} "))
    if findings.weak and findings.total:
        line.append((DOUBT, "Nothing really fits; these are the nearest. "))
    line += [(DOUBT, f"{sentence(clean_line(note))} ") for note in findings.notes]
    return [*line, (QUIET, clean_line(state.hears))]


def _headings(state: State) -> Row:
    badges = " | ".join(one.state.badge for one in state.panels if one.state.badge)
    badge = f" {clean_line(badges)} " if badges else ""
    if state.beside and state.place != KEYS:
        left = _rule(left_heading(state), state.left_width, "")
        right = _rule(right_heading(state), state.right_width, badge)
        return Row([*left, (PLAIN, "-+-"), *right])
    name = right_heading(state) if state.place in ON_THE_RIGHT else left_heading(state)
    return Row(_rule(name, state.columns, badge))


def _rule(name: str, width: int, badge: str) -> Line:
    """Give a heading in a rule; where both do not fit, the badge goes before the name's end."""
    name = f" {clean_line(name)} "
    room = width - width_of(badge) - 2
    if width_of(name) > room >= LEAST_NAME:
        name = text_of(fit([(PLAIN, name.rstrip())], room))
    line: Line = [(PLAIN, "--"), (HEADING, name), (PLAIN, "-" * max(0, room - width_of(name)))]
    return fit([*line, (STRONG, badge)], width)


def _body(state: State) -> list[Row]:
    empty = Row([])
    if state.beside and state.place != KEYS:
        left, right = left_side(state), right_side(state)
        left += [empty] * (state.body - len(left))
        right += [empty] * (state.body - len(right))
        wide = state.left_width, state.right_width
        pairs = zip(left[: state.body], right[: state.body], strict=True)
        return [beside(one, other, *wide) for one, other in pairs]
    rows = right_side(state) if state.place in ON_THE_RIGHT else left_side(state)
    return [*rows[: state.body], *[empty] * (state.body - len(rows))]


def _keys(shown: tuple[Hint, ...], width: int) -> Row:
    """Give the hints that fit; on the narrowest screen they stand closer together."""
    gap = GAP if width >= NARROW_GAP else " "
    line: Line = []
    zones: list[Zone] = []
    used = 0
    for key, means, action, what in fitting(shown, width, len(gap)):
        text = [(STRONG, key), (PLAIN, f" {means}{gap}")]
        size = sum(width_of(piece) for _, piece in text)
        if action:
            zones.append(Zone(used, used + size - len(gap), action, what))
        used += size
        line += text
    return Row([*line[:-1], (PLAIN, line[-1][1].rstrip())] if line else [], tuple(zones))
