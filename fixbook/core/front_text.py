"""Mending front matter where it stands: what is not mended keeps its place, spelling and comments.

Each function gives the new text, or None where the text is laid out in a way that it could not
change safely; whoever calls checks by reading the result again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fixbook.core.front_emit import Plain, emit_field, scalar
from fixbook.core.page import FIELD_ORDER
from fixbook.core.raw import Fields, Items, Raw, Text

FIRST_LINE = 2
"""The line of the file on which front matter begins."""


@dataclass(frozen=True, slots=True)
class Segment:
    """The lines of one field, with the comments above it."""

    name: str
    text: str


def segments(front_text: str, front: Fields) -> tuple[list[Segment], str] | None:
    """Take front matter apart at its fields: the segments, and what follows the last of them."""
    lines = front_text.split("\n")
    starts = [(key.line - FIRST_LINE, name) for name, key in front.keys.items()]
    if any(key.column != 1 for key in front.keys.values()):
        return None
    if len({line for line, _ in starts}) < len(starts) or not starts:
        return None
    starts.sort()
    begins = [_with_comments(lines, line) for line, _ in starts]
    begins[0] = 0
    end = len(lines)
    while end > starts[-1][0] + 1 and _is_aside(lines[end - 1]):
        end -= 1
    ends = [*begins[1:], end]
    found = [
        Segment(name, "".join(f"{line}\n" for line in lines[begin:stop]))
        for (_, name), begin, stop in zip(starts, begins, ends, strict=True)
    ]
    return found, "\n".join(lines[end:])


def in_order(front_text: str, front: Fields) -> str | None:
    """Put the fields into their order; unknown ones stay behind the field they follow."""
    taken = segments(front_text, front)
    if taken is None:
        return None
    found, rest = taken
    rank = {name: number for number, name in enumerate(FIELD_ORDER)}
    keys: list[tuple[int, int]] = []
    for number, one in enumerate(found):
        before = keys[-1][0] if keys else -1
        keys.append((rank.get(one.name, before), number))
    order = [found[number] for _, number in sorted(keys)]
    return "".join(one.text for one in order) + rest


def first_out_of_order(front: Fields) -> tuple[str, str] | None:
    """Give the first field that stands after one it should precede, and that one; None: none."""
    rank = {name: number for number, name in enumerate(FIELD_ORDER)}
    highest = ""
    for name in front.keys:
        if name not in rank:
            continue
        if highest and rank[name] < rank[highest]:
            return name, highest
        highest = name
    return None


def replace_text(front_text: str, at: Text, new: str) -> str | None:
    """Put another text in the place of one that stands on a line of its own."""
    lines = front_text.split("\n")
    number, column = at.line - FIRST_LINE, at.column - 1
    if not 0 <= number < len(lines):
        return None
    line = lines[number]
    for written in (at.text, f'"{at.text}"', f"'{at.text}'"):
        if at.text and line.startswith(written, column):
            kept = scalar(new, typed=at.plain)
            lines[number] = line[:column] + kept + line[column + len(written) :]
            return "\n".join(lines)
    return None


def set_field(front_text: str, front: Fields, name: str, value: Plain) -> str | None:
    """Give a field another value: in its place where it is there, else in its order."""
    old = front.fields.get(name)
    done = None
    if isinstance(old, Text) and old.text and isinstance(value, str) and value:
        done = replace_text(front_text, old, value)
    if done is not None:
        return done
    written = emit_field(name, value)
    taken = segments(front_text, front)
    if taken is None:
        return None if front.keys else written + front_text
    found, rest = taken
    if name in front.fields:
        found = [
            Segment(name, _comments_of(one.text) + written) if one.name == name else one
            for one in found
        ]
    else:
        found.insert(_place_for(name, found), Segment(name, written))
    return "".join(one.text for one in found) + rest


def add_item(front_text: str, front: Fields, name: str, item: str) -> str | None:
    """Add an item to the end of a list; the list is made where there is none."""
    old = front.fields.get(name)
    items = old.items if isinstance(old, Items) else ()
    texts = [one.text for one in items if isinstance(one, Text)]
    if not texts or len(texts) < len(items):
        return set_field(front_text, front, name, [*texts, item])
    last = items[-1]
    lines = front_text.split("\n")
    number = last.line - FIRST_LINE
    line = lines[number]
    if line.lstrip().startswith("- ") and last.column - 1 == line.index("- ") + 2:
        lines.insert(number + 1, f"{line[: line.index('- ')]}- {scalar(item)}")
        return "\n".join(lines)
    return set_field(front_text, front, name, [*texts, item])


def same_values(one: Raw | None, other: Raw | None) -> bool:
    """Say whether two readings hold the same texts, wherever they stand."""
    return _values(one) == _values(other)


def _values(raw: Raw | None) -> object:
    if isinstance(raw, Fields):
        return {name: _values(value) for name, value in raw.fields.items()}
    if isinstance(raw, Items):
        return [_values(item) for item in raw.items]
    return raw.text if raw is not None else None


def _place_for(name: str, found: Sequence[Segment]) -> int:
    rank = {one: number for number, one in enumerate(FIELD_ORDER)}
    own = rank.get(name, len(rank))
    before = [number for number, one in enumerate(found) if rank.get(one.name, len(rank)) < own]
    return before[-1] + 1 if before else 0


def _with_comments(lines: list[str], line: int) -> int:
    begin = line
    while begin > 0 and lines[begin - 1].startswith("#"):
        begin -= 1
    return begin


def _comments_of(text: str) -> str:
    return "".join(f"{line}\n" for line in text.split("\n") if line.startswith("#"))


def _is_aside(line: str) -> bool:
    return not line.strip() or line.startswith("#")
