"""The left side: results, or a list to choose from."""

from __future__ import annotations

from fixbook.core.query import Hit
from fixbook.render.clean import clean_line
from fixbook.render.lines import DOUBT, PLAIN, QUIET, STRONG, Line, wrap
from fixbook.screen.choosing import rows as list_rows
from fixbook.screen.fit import Row, fit, whole
from fixbook.screen.keys import KEY_WIDTH, help_lines
from fixbook.screen.state import KEYS, LISTS, State

CHOSEN = "chosen"
"""The style that marks the current row; a `>` says the same without it."""
NOTHING = "Nothing found. Try other words or fewer; F2 shows what narrows the results."
NARROWED_AWAY = (
    "Nothing found in what it is narrowed to. Escape takes the words away, then the narrowing."
)
EMPTY = {
    "narrow": "There is nothing to narrow by.",
    "recent": "Nothing was searched before.",
    "sums": "One moment: the calculators are being looked up.",
    "answers": "No answers yet. F4 opens the sums.",
}


def left_side(state: State) -> list[Row]:
    """Give the rows of the left side, at most as many as the body has."""
    if state.place in LISTS:
        return _list(state)
    if state.place == KEYS:
        return _keys(state)
    return _results(state)


def heading(state: State) -> str:
    """Say what the left side shows."""
    if state.place in LISTS:
        count = len(list_rows(state))
        names = {"narrow": "narrow by", "recent": "searched before", "sums": "sums"}
        return f"{names.get(state.place, 'last answers')}: {count}"
    if state.place == KEYS:
        return "keys"
    if state.found is None:
        return "results"
    total = state.found.findings.total
    if not total:
        return "nothing found"
    return f"{state.chosen + 1} of {total:,} found"


def _results(state: State) -> list[Row]:
    width = state.left_width
    if state.found is None:
        text = state.hears or "The book is being opened. You can type already."
        return [Row([(QUIET, line)]) for line in wrap(text, width)]
    hits = state.found.findings.hits
    if not hits:
        text = NARROWED_AWAY if state.narrowed else NOTHING
        return [Row([(DOUBT, line)]) for line in wrap(text, width)]
    shown = hits[state.top : state.top + state.hits_in_sight]
    return [
        row
        for at, hit in enumerate(shown, state.top)
        for row in _hit(hit, at, width, state, at == state.chosen)
    ]


def _hit(hit: Hit, at: int, width: int, state: State, chosen: bool) -> list[Row]:
    mark = "> " if chosen else "  "
    title = clean_line(hit.shown.get("title", hit.key))
    if hit.shown.get("state") == "withdrawn":
        title = f"withdrawn: {title}"
    under = [clean_line(hit.shown.get("unit", "")), clean_line(hit.shown.get("section", ""))]
    words = ", ".join(clean_line(one) for one in hit.why)
    why = f"matched {words}" if words else ""
    first: Line = [(STRONG, f"{mark}{title}")]
    style = CHOSEN if chosen else ""
    lines = [fit(first, width, style=style)]
    place = ", ".join(one for one in under if one)
    figures = clean_line(state.figures.get(hit.key, ""))
    if state.hit_rows == 2:
        said = "; ".join(one for one in (place, figures, why) if one)
        lines.append([(PLAIN, f"    {said}")])
    else:
        lines.append([(PLAIN, "    " + "; ".join(one for one in (place, figures) if one))])
        lines.append([(QUIET, f"    {why or clean_line(hit.snippet)}")])
    return [whole(line, width, "hit", str(at)) for line in lines]


def _list(state: State) -> list[Row]:
    width, body = state.left_width, state.body
    all_rows = list_rows(state)
    if not all_rows:
        asked = state.place == "sums" and state.sums is not None
        text = "Nothing here has these words." if state.filter or asked else EMPTY[state.place]
        return [Row([(QUIET, line)]) for line in wrap(text, width)]
    picked = min(state.picked, len(all_rows) - 1)
    top = max(0, min(picked - body // 2, len(all_rows) - body))
    shown = []
    for at, row in enumerate(all_rows[top : top + body], top):
        mark = "> " if at == picked else "  "
        line: Line = [(STRONG, mark + clean_line(row.text))]
        if row.note:
            line.append((PLAIN, f"  {clean_line(row.note)}"))
        style = CHOSEN if at == picked else ""
        shown.append(whole(fit(line, width, style=style), width, "row", str(at)))
    return shown


def _keys(state: State) -> list[Row]:
    """Give the keys over the whole width, scrolled as far as the user went down."""
    lines = help_lines(state)
    top = max(0, min(state.picked, len(lines) - state.body))
    return [
        Row([(STRONG, f"{key:<{KEY_WIDTH}}"), (PLAIN, text)])
        for key, text in lines[top : top + state.body]
    ]
