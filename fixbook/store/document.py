"""One file taken apart: front matter with the place of every value, and the body as it was.

    document     = "---" newline  front matter (YAML)  "---" newline  body (CommonMark)

Values stay the texts that were typed. Repeated keys, anchors, aliases, tags and keys that are
not plain words are refused. The body is never touched: what is read is what is written.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.store.yaml_faults import Refusal, plain_slip

FENCE = "---"
MOST = 60_000
"""Values in one file: more take longer than anyone waits, and no book has them."""
MOST_LINES, MOST_BRACKETS = 10_000, 5_000
"""Lines and opening brackets of a body: with more, CommonMark takes longer than anyone waits."""
DEEPEST = 12
"""How deep front matter may nest."""
_NOT_ALLOWED = re.compile("[^\\t\\n\\r -~\\x85\\xa0-\\ud7ff\\ue000-\\ufffd\\U00010000-\\U0010ffff]")
"""Characters that YAML does not allow (YAML 1.2, production 1)."""
_HALF = re.compile("[\\ud800-\\udfff]")
"""Halves of characters, which the pure loader lets through and no file can hold."""


@dataclass(frozen=True, slots=True)
class Document:
    """A file's parts; `front` is None where there is no usable front matter."""

    front: Fields | None
    front_text: str
    body: str
    body_line: int
    problems: tuple[Problem, ...] = ()


def split(text: str) -> tuple[str, str, int] | None:
    """Give front matter, body and the line on which the body begins; None without front matter."""
    lines = _lines(text)
    if not lines or lines[0].rstrip() != FENCE:
        return None
    for number in range(1, len(lines)):
        if lines[number].rstrip() == FENCE:
            return "".join(lines[1:number]), "".join(lines[number + 1 :]), number + 2
    return None


def join(front_text: str, body: str) -> str:
    """Write a document from its parts; `split` gives the same parts back."""
    if front_text and not front_text.endswith("\n"):
        front_text += "\n"
    return f"{FENCE}\n{front_text}{FENCE}\n{body}"


def read_document(text: str, file: str) -> Document:
    """Take a write-up apart; what is wrong is in `problems`, with its place."""
    parts = split(text)
    if parts is None:
        problem = _without_front_matter(text)
        do = f"put the fields between two lines of {FENCE!r}, the first on line 1"
        return Document(None, "", text, 1, (Problem(file, 1, 1, "front-matter", problem, do),))
    front_text, body, body_line = parts
    for what, count, most in (
        ("lines", body.count("\n"), MOST_LINES),
        ("opening brackets", body.count("["), MOST_BRACKETS),
    ):
        if count > most:
            found = f"the body has {count:,} {what}"
            do = f"at most {most:,}: split the write-up"
            long = Problem(file, body_line, 1, "too-large", found, do)
            return Document(None, front_text, body, body_line, (long,))
    front, problems = compose(front_text, file, first_line=2)
    return Document(front, front_text, body, body_line, tuple(problems))


def compose(text: str, file: str, *, first_line: int = 1) -> tuple[Fields | None, list[Problem]]:
    """Read YAML as texts with their places; None, and why, where it is not a mapping."""
    import yaml  # some 15 ms that a warm search never pays

    loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    builder = _Builder(file, _Places(text, first_line))
    try:
        # Events, not nodes: a third faster than compose, and neither C stack nor memory can be
        # blown by nesting or by aliases.
        root = builder.build(iter(yaml.parse(text, Loader=loader)))
    except yaml.YAMLError as error:
        builder.unreadable(error, getattr(error, "problem", None))
        return None, builder.problems
    except (ValueError, OverflowError):  # the pure loader's, of an escape such as "\\UFFFFFFFF"
        builder.unreadable(None, "an escape in double quotes names no character")
        return None, builder.problems
    except _Refused:
        return None, builder.problems
    if isinstance(root, Fields):
        return root, builder.problems
    if root is None or (isinstance(root, Text) and not root.text):
        return Fields({}, {}, first_line, 1), builder.problems
    builder.fault(root.line, root.column, "yaml", "not a mapping", "write lines of 'field: value'")
    return None, builder.problems


class _Refused(Exception):
    """What was read cannot be used; the reason is among the problems."""


class _Places:
    """Turns what the parser says of a place into a line and column of the file."""

    def __init__(self, text: str, first_line: int) -> None:
        self.text = text
        self.first = first_line
        self.starts: list[int] = []
        """Where each line starts; empty while the parser counts lines as an editor does."""
        if re.search("\r(?!\n)|[\x85\u2028\u2029]", text):  # it breaks lines at these as well
            self.starts = _starts(text)

    def of(self, mark: Any) -> tuple[int, int]:
        """Give the place of a mark; of None, the beginning."""
        if mark is None:
            return self.first, 1
        if self.starts:
            return self.at(mark.index)
        return mark.line + self.first, mark.column + 1

    def at(self, index: int) -> tuple[int, int]:
        """Give the place of a character."""
        starts = self.starts or _starts(self.text)
        line = bisect_right(starts, index)
        return line - 1 + self.first, index - starts[line - 1] + 1


class _Builder:
    """Builds texts, lists and mappings from YAML events."""

    def __init__(self, file: str, places: _Places) -> None:
        self.file = file
        self.places = places
        self.problems: list[Problem] = []
        self.count = 0

    def fault(self, line: int, column: int, rule: str, problem: str, do: str) -> None:
        self.problems.append(Problem(self.file, line, column, rule, problem, do))

    def unreadable(self, error: Any, what: str | None) -> None:
        """Note why the parser gave up."""
        began = getattr(error, "context_mark", None)
        mark = getattr(error, "problem_mark", None) or began
        line, column = self.places.of(mark)
        do = "mend the line; a text with ': ' or ' #' in it goes into quotes"
        if what is not None and mark is not None:
            first = self.places.first
            at = (line - first, column - 1)
            start = self.places.of(began or mark)
            context = str(getattr(error, "context", None) or "")
            refusal = Refusal(
                self.places.text.split("\n"), at, (start[0] - first, start[1] - 1), what, context
            )
            if slip := plain_slip(refusal):
                self.fault(slip.line + first, slip.column + 1, "yaml", slip.problem, slip.do)
                return
        if what is None:  # the parser names neither the character nor its place
            what, do = "a character that it does not allow", "take it out"
            if found := _NOT_ALLOWED.search(self.places.text):
                line, column = self.places.at(found.start())
                what = f"an invisible character, U+{ord(found[0]):04X}"
        self.fault(line, column, "yaml", f"not readable as YAML: {_one_line(what)}", do)

    def build(self, events: Iterator[Any]) -> Raw | None:
        root: Raw | None = None
        for event in events:
            name = type(event).__name__
            if name == "DocumentStartEvent" and root is not None:
                line, column = self._place(event)
                self.fault(line, column, "yaml", "a second document begins", "keep one")
                raise _Refused
            if name in ("ScalarEvent", "SequenceStartEvent", "MappingStartEvent", "AliasEvent"):
                root = self._value(event, events, 1)
        return root

    def _place(self, event: Any) -> tuple[int, int]:
        return self.places.of(event.start_mark)

    def _value(self, event: Any, events: Iterator[Any], depth: int) -> Raw:
        line, column = self._place(event)
        name = type(event).__name__
        self._refuse_references(event, name, line, column)
        self.count += 1
        if self.count > MOST:
            self.fault(line, column, "yaml", f"more than {MOST:,} values", "split the file")
            raise _Refused
        if depth > DEEPEST:
            self.fault(line, column, "yaml", "nested too deep", f"at most {DEEPEST} levels")
            raise _Refused
        if name == "ScalarEvent":
            if not event.value.isascii() and _HALF.search(event.value):
                self.fault(line, column, "yaml", "half a character", "take the escape out")
                raise _Refused
            return Text(event.value, line, column, plain=not event.style)
        if name == "SequenceStartEvent":
            items = []
            while type(after := next(events)).__name__ != "SequenceEndEvent":
                items.append(self._value(after, events, depth + 1))
            return Items(tuple(items), line, column)
        return self._mapping(events, line, column, depth)

    def _mapping(self, events: Iterator[Any], line: int, column: int, depth: int) -> Fields:
        fields: dict[str, Raw] = {}
        keys: dict[str, Text] = {}
        while type(event := next(events)).__name__ != "MappingEndEvent":
            key = self._value(event, events, depth + 1)
            value = self._value(next(events), events, depth + 1)
            if not isinstance(key, Text):
                self.fault(key.line, key.column, "yaml", "a key is not a word", "write 'name:'")
            elif key.text in fields:
                first = keys[key.text].line
                self.fault(
                    key.line, key.column, "repeated-key", f"{key.text!r} stands twice",
                    f"keep one of them; the first is on line {first}",
                )  # fmt: skip
            else:
                fields[key.text], keys[key.text] = value, key
        return Fields(fields, keys, line, column)

    def _refuse_references(self, event: Any, name: str, line: int, column: int) -> None:
        if name == "AliasEvent":
            self.fault(
                line, column, "yaml-reference", f"an alias, '*{event.anchor}'",
                "write the value out; a text that begins with * goes into quotes",
            )  # fmt: skip
            raise _Refused
        if event.anchor is not None:
            self.fault(
                line, column, "yaml-reference", f"an anchor, '&{event.anchor}'",
                "take it out; a text that begins with & goes into quotes",
            )  # fmt: skip
        if event.tag is not None:
            self.fault(
                line, column, "yaml-reference", f"a tag, {event.tag!r}",
                "take it out; a text that begins with ! goes into quotes",
            )  # fmt: skip


def _lines(text: str) -> list[str]:
    """Split at newlines alone: `splitlines` breaks at form feeds and U+2028 as well."""
    *whole, rest = text.split("\n")
    return [f"{line}\n" for line in whole] + ([rest] if rest else [])


def _starts(text: str) -> list[int]:
    return [0, *(at + 1 for at, sign in enumerate(text) if sign == "\n")]


def _without_front_matter(text: str) -> str:
    """Say why `split` finds no front matter."""
    lines = [line.rstrip() for line in _lines(text)]
    if FENCE not in lines:
        return "there is no front matter"
    return "front matter is not closed" if lines[0] == FENCE else "line 1 is no line of '---'"


def _one_line(text: object) -> str:
    return " ".join(str(text).split())
