"""The findings of a search as styled lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fixbook.core.query import Findings, Hit
from fixbook.render.clean import clean_line
from fixbook.render.lines import BAD, DOUBT, PLAIN, QUIET, STRONG, TITLE, Line, wrap

FACETS_SHOWN = ("unit", "section", "kind", "hazard", "skill", "state")
VALUES_SHOWN = 6


def results_lines(
    findings: Findings, width: int, *, summaries: Mapping[str, str] | None = None
) -> list[Line]:
    """Lay findings out: what was searched, the hits, and the counts to narrow by."""
    lines: list[Line] = []
    for note in findings.notes:
        lines += [[(DOUBT, line)] for line in wrap(note, width)]
    if findings.mended:
        mended = ", ".join(f"{old} -> {new}" for old, new in findings.mended.items())
        lines += [[(DOUBT, line)] for line in wrap(f"No write-up has these words: {mended}", width)]
    if findings.total == 0:
        text = "Nothing found. Try other words, fewer options, or 'fixbook write' what you learn."
        return [*lines, *[[(BAD, line)] for line in wrap(text, width)]]
    if findings.weak:
        text = "Nothing really fits. These are the nearest; other words may do better."
        lines += [[(DOUBT, line)] for line in wrap(text, width)]
    if lines:
        lines.append([])
    for number, hit in enumerate(findings.hits, 1):
        lines += _hit(number, hit, width, (summaries or {}).get(hit.key, ""))
    lines.append([])
    shown = len(findings.hits)
    some = f"{shown} of {findings.total} shown" if shown < findings.total else f"{shown} found"
    lines += [[(QUIET, line)] for line in wrap(f"{some}. {_opening(findings.hits)}", width)]
    return lines + _facets(findings, width)


def _opening(hits: Sequence[Hit]) -> str:
    """Say how what was found is opened: write-ups as sheets, past jobs by their number."""
    jobs = [hit for hit in hits if hit.shown.get("kind") == "job"]
    others = any(":" not in hit.key for hit in hits)  # other documents of plugins open elsewhere
    ways = ["fixbook sheet ID"] if others or not jobs else []
    if jobs:
        number = clean_line(jobs[0].shown.get("id", "")) if len(jobs) == 1 else "N"
        ways.append(f"fixbook job show {number}")
    return f"Open one with: {', or '.join(ways)}"


def _hit(number: int, hit: Hit, width: int, summary: str) -> list[Line]:
    mark = f"{number:>2}. "
    pad = " " * len(mark)
    room = width - len(mark)
    state = hit.shown.get("state", "")
    lines: list[Line] = []
    for at, line in enumerate(wrap(hit.shown.get("title", ""), room)):
        lines.append([(STRONG, mark if not at else pad), (TITLE, line)])
    under = [hit.shown.get("id", hit.key), hit.shown.get("unit", ""), hit.shown.get("section", "")]
    under.append("withdrawn" if state == "withdrawn" else "")
    text = " | ".join(clean_line(word) for word in under if word)
    lines += [[(PLAIN, pad), (STRONG, line)] for line in wrap(text, room)]
    if hit.snippet:
        lines += [[(PLAIN, pad + line)] for line in wrap(hit.snippet, room)]
    why = "; ".join(clean_line(word) for word in hit.why)
    for words in (f"matched: {why}" if why else "", summary):
        if words:
            lines += [[(QUIET, pad + line)] for line in wrap(words, room)]
    if hit.gains:
        from fixbook.render.explained import gain_lines

        lines.append([(QUIET, f"{pad}score {hit.score:.2f}")])
        lines += [[(QUIET, pad), *line] for line in gain_lines(hit.gains, room)]
    return lines


def _facets(findings: Findings, width: int) -> list[Line]:
    lines: list[Line] = []
    for name in FACETS_SHOWN:
        values = findings.facets.get(name, ())
        if len(values) < 2:
            continue
        said = [f"{value} {count}" for value, count in values[:VALUES_SHOWN]]
        more = len(values) - VALUES_SHOWN
        text = f"--{name}: {', '.join(said)}" + (f", {more} more" if more > 0 else "")
        lines += [[(QUIET, line)] for line in wrap(text, width)]
    return lines
