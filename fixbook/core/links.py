"""Links of write-ups: a scheme and what it points at, as in `fault:amp-dc-offset`.

    link   = scheme ":" name [ "?" field "=" value { "&" field "=" value } ]

Plain CommonMark carries them; plugins may add schemes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple
from urllib.parse import parse_qsl, unquote

FAULT, TECHNIQUE = "fault", "technique"
ENTRY_SCHEMES = (FAULT, TECHNIQUE)

_SCHEME = re.compile(r"([a-z][a-z0-9-]{1,19}):(.*)", re.DOTALL)
_IN_TEXT = re.compile(
    r"\\."  # an escaped sign begins no link
    r"|(!?)\[((?:[^\[\]\\]|\\.|\[(?:[^\[\]\\]|\\.)*+\](?!\())*+)\]"  # its words may hold [5 V]
    r"\(\s*+(?:<([^<>]*+)>|([^()<>\s]*+))[^()]*+\)"
)
"""Possessive throughout, so that no line takes longer than its length."""
_TICKS = re.compile(r"`+")
_FENCE = re.compile(r"\s*(`{3,}(?=[^`]*$)|~{3,})")


class Link(NamedTuple):
    """A link taken apart; `scheme` is empty for a picture or a place in the same book."""

    scheme: str
    name: str
    """What it points at, without the scheme."""
    values: Mapping[str, str] = {}
    """What follows the question mark; a field given several times has its values joined by `;`."""


class LinkTarget(NamedTuple):
    """What a link resolves to, as shown beside it."""

    title: str
    command: str
    """The command that opens it, as typed: `fixbook sheet amp-dc-offset`."""


def read_link(target: str) -> Link:
    """Take a link target apart; percent signs are decoded, a plus sign stays one (`+-5%`)."""
    found = _SCHEME.fullmatch(target.strip())
    if not found:
        return Link("", unquote(target.strip()))
    name, _, values = found[2].partition("?")
    given: dict[str, str] = {}
    for key, value in parse_qsl(values.replace("+", "%2B"), keep_blank_values=True):
        given[key] = f"{given[key]};{value}" if key in given else value
    return Link(found[1], unquote(name), given)


def links_in(body: str) -> Iterator[tuple[int, int, bool, str, str]]:
    """Find the inline links of a body: line, column (from 1), is a picture, words, target.

    Links inside code are passed over; a link that spans lines counts as plain text.
    """
    fence = ""
    for number, line in enumerate(body.split("\n"), 1):
        if fence:
            end = line.strip()
            fence = "" if end.startswith(fence) and not end.strip(fence[0]) else fence
        elif opens := _FENCE.match(line):
            fence = opens[1]
        else:
            for found in _IN_TEXT.finditer(_without_code(line)):
                if found[2] is not None:
                    target = found[3] if found[3] is not None else found[4]
                    yield number, found.start() + 1, bool(found[1]), found[2], target


def _without_code(line: str) -> str:
    """Put blanks in the place of code between backticks, so that columns stay."""
    runs = [found.span() for found in _TICKS.finditer(line)] if "`" in line else []
    nexts: dict[int, list[int]] = {}
    for at in range(len(runs) - 1, -1, -1):
        nexts.setdefault(runs[at][1] - runs[at][0], []).append(at)
    parts = []
    done = at = 0
    while at < len(runs):
        begin, end = runs[at]
        # A backslash within code escapes nothing, so not from further back.
        before = line[done:begin]
        begin += (len(before) - len(before.rstrip("\\"))) % 2
        same = nexts.get(end - begin, [])
        while same and same[-1] <= at:
            same.pop()
        if same:
            parts.append(line[done:begin])
            done, at = runs[same[-1]][1], same[-1]
            parts.append(" " * (done - begin))
        at += 1
    return "".join([*parts, line[done:]])
