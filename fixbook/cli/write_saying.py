"""What `fixbook write` says about what it did."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence

from fixbook.app.writing import Settled
from fixbook.app.writing_begun import Near
from fixbook.cli.session import Session
from fixbook.render.clean import clean, clean_line
from fixbook.render.lines import Line


def tell(
    done: Settled, found: Mapping[str, object], near: Sequence[Near], session: Session
) -> None:
    """Say whether a draft was filed, under what it is found, and what is left to mend."""
    lines: list[Line] = [[("plain", clean_line(str(problem)))] for problem in done.problems]
    for one in near:
        lines.append([("quiet", clean_line(f"like it: {one.id}, {one.title}"))])
    if not done.filed:
        lines.append([("doubt", clean_line(f"not filed yet: the draft is {done.file}"))])
        lines.append([("plain", f"mend that, then 'fixbook write {done.key}' files it")])
    else:
        lines.append([("good", clean_line(f"filed: {done.file}"))])
        place = f"found under '{found.get('words')}'"
        ranked = f", place {found['place']}" if found.get("place") else ": not among the first ten"
        lines.append([("plain", clean_line(place + ranked))])
        if done.problems:
            count = len(done.problems)
            faults = f"{count} fault{'s' if count > 1 else ''}"
            id = done.entry.id if done.entry else done.key
            lines.append([("doubt", f"{faults} above: 'fixbook write {id}' opens it again")])
    session.write(lines)


def settled_json(
    done: Settled, found: Mapping[str, object], near: Sequence[Near]
) -> dict[str, object]:
    """Give the shape of `write --json`."""
    return {
        "id": done.entry.id if done.entry else done.key,
        "file": done.file,
        "filed": done.filed,
        "problems": [one.to_json() for one in done.problems],
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
