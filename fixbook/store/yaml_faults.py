"""Why a text cannot be read as YAML, in plain words and at the line that is to be mended.

The parser says where it gave up, which is often a line late, and in the words of its grammar. The
commonest slips are told apart here; for the rest the parser's words stand.
"""

from __future__ import annotations

import re
from typing import NamedTuple

Place = tuple[int, int]
"""A line and a column, both from 0."""


class Slip(NamedTuple):
    """What is wrong, where, and what to do."""

    line: int
    column: int
    problem: str
    do: str


class Refusal(NamedTuple):
    """What the parser said."""

    lines: list[str]
    """The lines of the text."""
    at: Place
    """Where it gave up."""
    began: Place
    """Where what it was reading began; the same as `at` where it does not say."""
    problem: str
    context: str

    @property
    def line(self) -> str:
        """The line where it gave up."""
        return self.row(self.at[0])

    def row(self, number: int) -> str:
        """Give a line by its number; empty where the text has no such, as behind its end."""
        return self.lines[number] if 0 <= number < len(self.lines) else ""

    @property
    def sign(self) -> str:
        """The letter where it gave up; empty at the end of a line."""
        return self.line[self.at[1] : self.at[1] + 1]


FARTHEST = 200
"""Lines above the parser's place in which an open quote is looked for."""
_QUOTE_IT = "put the whole text into quotes"
_ALIGN = "fields of one mapping, and items of one list, begin in the same column"
_VALUE = re.compile(r"\s*(?:- +)*(?:[\w-]+: +)?")
"""What stands before a value on its line."""
_FIELD = re.compile(r"\s*(?:- +)*[\w-]+:(?=\s|$)")
_CLOSING = {"[": "]", "{": "}"}


def plain_slip(found: Refusal) -> Slip | None:
    """Tell a common slip apart; None where it is none of them."""
    for rule in (_tab, _brackets, _quotes, _colon, _field, _beginning, _behind, _indent):
        if slip := rule(found):
            return slip
    return None


def _tab(found: Refusal) -> Slip | None:
    begin = re.match(r" *(?:- *)*\t", found.line)
    if begin is None and found.sign != "\t":
        return None
    column = begin.end() - 1 if begin else found.at[1]
    return Slip(
        found.at[0], column, "a tab, where only blanks may stand", "put blanks in its place"
    )


def _brackets(found: Refusal) -> Slip | None:
    if not found.context.startswith("while parsing a flow"):
        return None
    line, column = found.began
    opening = found.row(line)[column : column + 1]
    closing = _CLOSING.get(opening)
    if closing is None:
        return None
    inside = [found.row(line)[column + 1 :]]
    for later in found.lines[line + 1 :]:
        if _FIELD.match(later) and not later.startswith(" "):
            break
        inside.append(later)
    if closing not in "\n".join(inside):
        do = f"put a {closing!r} at its end; a text that begins with {opening} goes into quotes"
        return Slip(line, column, f"the {opening!r} is not closed", do)
    what = f"between {opening!r} and {closing!r} a comma is missing, or a text needs quotes"
    do = "part what stands there with commas; a text with , : or brackets in it goes into quotes"
    return Slip(*found.at, what, do)


def _quotes(found: Refusal) -> Slip | None:
    if "quoted" not in found.context:
        return None
    if "escape" in found.problem or "hexdecimal" in found.problem:
        what = "a backslash in double quotes begins an escape, and this is none"
        return Slip(*found.at, what, "put the text into single quotes, or write two backslashes")
    if "unexpected" in found.problem:
        return _open_quote(found, *found.began)
    return None


def _open_quote(found: Refusal, line: int, column: int) -> Slip:
    quote = found.row(line)[column : column + 1]
    return Slip(line, column, f"the quote {quote} is not closed", f"put {quote} at its end too")


def _colon(found: Refusal) -> Slip | None:
    if not found.problem.startswith("mapping values are not allowed"):
        return None
    line, column = found.at
    if slip := _quote_left_open(found):
        return slip
    field = _FIELD.match(found.line)
    if field and field.end() <= column:
        name = field[0].strip().lstrip("- ")
        do = f"{_QUOTE_IT}, as in {name} 'one: two'"
        return Slip(line, column, "a second ': ' in one line, which begins no field", do)
    above = next((one for one in reversed(found.lines[:line]) if one.strip()), "")
    if above and _margin(found.line) > _margin(above):
        what = "this line is further in than the one above it, which has its value already"
        return Slip(line, _margin(found.line), what, _ALIGN)
    return None


def _field(found: Refusal) -> Slip | None:
    if found.problem != "could not find expected ':'":
        return None
    line, column = found.began
    text = found.row(line)
    if joined := re.match(r"\s*(?:- +)*([\w-]+):\S", text):
        return Slip(line, joined.end() - 2, "no blank behind the colon", f"write '{joined[1]}: …'")
    return Slip(line, column, "a line without a field's name", "write 'name: value'")


def _beginning(found: Refusal) -> Slip | None:
    """Tell a value that begins with a sign of YAML."""
    if "sequence entries are not allowed" in found.problem:
        do = "write [one, two], or each item on a line of its own, as in '- one'"
        return Slip(*found.at, "a list that begins behind the name of its field", do)
    if found.context in ("while scanning an alias", "while scanning a block scalar"):
        line, column = found.began
        sign = found.row(line)[column : column + 1]
        return Slip(line, column, f"a text that begins with {sign}", _QUOTE_IT)
    told = ("cannot start any token", "node content", "mapping keys are not allowed")
    if found.sign and any(one in found.problem for one in told):
        return Slip(*found.at, f"a text that begins with {found.sign}", _QUOTE_IT)
    return None


def _behind(found: Refusal) -> Slip | None:
    """Tell what stands behind a value that is closed, or that an open quote has swallowed."""
    if not _is_block(found):
        return None
    if slip := _quote_left_open(found):
        return slip
    line, column = found.at
    value = _VALUE.match(found.line)
    begin = value.end() if value else 0
    first = found.line[begin : begin + 1]
    if begin >= column or first not in ("'", '"', "[", "{"):
        return None
    if first in _CLOSING:
        what = f"something stands behind the {_CLOSING[first]!r}"
        return Slip(line, column, what, f"take it out, or {_QUOTE_IT}")
    more = "; inside of single quotes, ' is written twice" if first == "'" else ""
    return Slip(line, column, "the text goes on behind its closing quote", _QUOTE_IT + more)


def _quote_left_open(found: Refusal) -> Slip | None:
    """Find a quote of an earlier line whose text goes on to where the parser gave up."""
    last = found.at[0]
    for line in range(last - 1, max(-1, last - FARTHEST), -1):
        value = _VALUE.match(found.row(line))
        begin = value.end() if value else 0
        quote = found.row(line)[begin : begin + 1]
        if quote in ("'", '"'):
            ends_here = quote in found.line[: found.at[1] + 1]
            if not ends_here or quote in found.row(line)[begin + 1 :]:
                continue
            if quote not in "".join(found.lines[line + 1 : last]):
                return _open_quote(found, line, begin)
    return None


def _indent(found: Refusal) -> Slip | None:
    starts = found.line[: found.at[1]].strip() == "" and found.sign
    if starts and (_is_block(found) or "document start" in found.problem):
        return Slip(*found.at, "this line is not in line with those above it", _ALIGN)
    return None


def _is_block(found: Refusal) -> bool:
    told = ("did not find expected key", "expected '-' indicator", "expected <block end>")
    return any(one in found.problem for one in told)


def _margin(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
