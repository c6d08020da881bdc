"""Links of write-ups: a scheme and what it points at, as in `fault:amp-dc-offset`.

    link   = scheme ":" name [ "?" field "=" value { "&" field "=" value } ]

Plain CommonMark carries them; plugins may add schemes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qsl, unquote

FAULT, TECHNIQUE = "fault", "technique"
ENTRY_SCHEMES = (FAULT, TECHNIQUE)

_SCHEME = re.compile(r"([a-z][a-z0-9-]{1,19}):(.*)", re.DOTALL)
_IN_TEXT = re.compile(r"(!?)\[((?:[^\[\]\\]|\\.)*)\]\(\s*<?([^()<>\s]*)>?[^()]*\)")


@dataclass(frozen=True, slots=True)
class Link:
    """A link taken apart; `scheme` is empty for a picture or a place in the same book."""

    scheme: str
    name: str
    values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LinkTarget:
    """What a link resolves to, as shown beside it."""

    title: str
    command: str
    """The command that opens it, as typed: `fixbook sheet amp-dc-offset`."""


def read_link(target: str) -> Link:
    """Take a link target apart; percent signs are decoded."""
    found = _SCHEME.fullmatch(target.strip())
    if not found:
        return Link("", unquote(target.strip()))
    name, _, values = found[2].partition("?")
    pairs = parse_qsl(values, keep_blank_values=True) if values else ()
    return Link(found[1], unquote(name), dict(pairs))


def links_in(body: str) -> Iterator[tuple[int, int, bool, str, str]]:
    """Find the inline links of a body: line, column (from 1), is a picture, words, target.

    Links inside fenced code are passed over; a link that spans lines counts as plain text.
    """
    fence = ""
    for number, line in enumerate(body.split("\n"), 1):
        begin = line.lstrip()
        if begin.startswith(("```", "~~~")):
            mark = begin[:3]
            fence = "" if fence == mark else fence or mark
        elif not fence:
            for found in _IN_TEXT.finditer(line):
                yield number, found.start() + 1, bool(found[1]), found[2], found[3]
