"""What `fixbook write` says about what it did."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence

from fixbook.app.writing import Settled
from fixbook.app.writing_begun import Near
from fixbook.cli.session import Session
from fixbook.render.clean import clean, clean_line
from fixbook.render.lines import Line, wrap

MUST, MAY = "Must be mended before it is filed", "May be mended later"
"""Headings of the faults that keep a write-up out of the book, and of those that do not."""


def tell(
    done: Settled, found: Mapping[str, object], near: Sequence[Near], session: Session
) -> None:
    """Say whether a draft was filed, under what it is found, and what is left to mend."""
    later = [one for one in done.problems if one not in done.holding]
    lines: list[Line] = []
    for heading, problems in ((MUST, done.holding), (MAY, later)):
        if problems:
            lines += [[("heading", heading)], *session.faults(problems)]

    def add(style: str, text: str) -> None:
        lines.extend([(style, line)] for line in wrap(text, session.width))

    for one in near:
        add("quiet", f"like it: {one.id}, {one.title}")
    if not done.filed:
        add("doubt", f"not filed yet: the draft is {done.file}")
        count = "what is above" if len(done.holding) > 1 else "that"
        add("plain", f"mend {count} under '{MUST}', then 'fixbook write {done.key}' files it")
    else:
        add("good", f"filed: {done.file}")
        place = f"found under '{found.get('words')}'"
        ranked = f", place {found['place']}" if found.get("place") else ": not among the first ten"
        add("plain", place + ranked)
        if done.problems:
            count = f"{len(done.problems)} fault{'s' if len(done.problems) > 1 else ''}"
            id = done.entry.id if done.entry else done.key
            add("doubt", f"{count} above: 'fixbook write {id}' opens it again")
    session.write(lines)


def settled_json(
    done: Settled, found: Mapping[str, object], near: Sequence[Near]
) -> dict[str, object]:
    """Give the shape of `write --json`."""
    return {
        "id": done.entry.id if done.entry else done.key,
        "file": done.file,
        "filed": done.filed,
        "problems": [{**one.to_json(), "holds": one in done.holding} for one in done.problems],
        "found_under": found or None,
        "near": [{"id": one.id, "title": one.title, "unit": one.unit} for one in near],
    }


def say(session: Session, given: argparse.Namespace, value: dict[str, object], text: str) -> None:
    """Say one thing, as a sentence or as JSON."""
    if given.json:
        session.write_json(value)
    else:
        session.write([[("good", clean_line(text))]])


def show_difference(session: Session, lines: Sequence[str]) -> None:
    """Show how a draft and the file on the disk differ, where they do."""
    if lines:
        head: Line = [("doubt", "the file changed meanwhile; both are kept:")]
        session.write([head, *[[("plain", clean(line))] for line in lines]])
