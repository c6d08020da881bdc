"""Writing front matter: plain values to YAML with stable order and short lines.

What is written reads back as the same texts, by the reader of `fixbook.store.document` and by
any other that follows YAML 1.2. A long text is folded, a long list has an item on each line, so
that two people's changes to one write-up merge.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence

Plain = str | int | None | Sequence["Plain"] | Mapping[str, "Plain"]
"""What front matter holds; None is a field left empty."""

WIDTH = 96
"""Columns that a line of front matter may have."""
_PLAIN = re.compile(r"[^\W_].*")
_FLOW_SIGNS = re.compile(r"[,\[\]{}]")
_OTHER_TYPE = re.compile(
    r"(?i)~|null|true|false|yes|no|on|off|y|n|\.nan|[-+]?\.?inf|[-+]?[\d_.]+(?:e[-+]?\d+)?|"
    r"0[xob][\da-f_]+|\d+(?::\d+)+"
)
"""Texts that other readers of YAML take for something else than a text."""


def emit_field(name: str, value: Plain, *, comment: str = "") -> str:
    """Write one field of front matter with its lines; a comment goes on the first."""
    note = f"  # {comment}" if comment else ""
    if value is None or value == "":
        return f"{name}:{note}\n"
    first, *rest = _lines(value, len(name) + 2)
    gap = " " if first else ""
    return "\n".join([f"{name}:{gap}{first}{note}", *rest]) + "\n"


def emit_fields(fields: Mapping[str, Plain]) -> str:
    """Write fields in the given order."""
    return "".join(emit_field(name, value) for name, value in fields.items())


def scalar(text: str, *, typed: bool = False, flow: bool = False) -> str:
    """Write one text so that it stays that text.

    `typed` lets a number or a date stand bare; `flow` is for inside of brackets.
    """
    bare = text.isprintable() and _PLAIN.fullmatch(text) and text == text.strip()
    risky = " #" in text or ": " in text or text.endswith(":")
    risky = risky or (flow and (_FLOW_SIGNS.search(text) is not None or ":" in text))
    if bare and not risky and (typed or not _OTHER_TYPE.fullmatch(text)):
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return "".join(_escaped(sign) for sign in quoted)


def _escaped(sign: str) -> str:
    if sign.isprintable():
        return sign
    code = ord(sign)
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def _lines(value: Plain, column: int) -> list[str]:
    """Write a value: what stands behind the colon, then the lines under it."""
    if isinstance(value, Mapping):
        return _mapping_lines(value, column)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return _list_lines(value, column)
    text = "" if value is None else str(value)
    written = scalar(text, typed=isinstance(value, int) or _is_date(text))
    if column + len(written) > WIDTH and _can_fold(text):
        return [">-", *_folded(text, "  ")]
    return [written]


def _mapping_lines(value: Mapping[str, Plain], column: int) -> list[str]:
    if not value:
        return ["{}"]
    lines = [""]
    for name, inner in value.items():
        key = scalar(name, flow=True)
        if isinstance(inner, Mapping):  # an answer with its word: {twice-mains: usually}
            pairs = ", ".join(
                f"{scalar(k, flow=True)}: {scalar(str(v), flow=True)}" for k, v in inner.items()
            )
            lines.append(f"  {key}: {{{pairs}}}")
        else:
            first, *rest = _lines(inner, column + len(key) + 4)
            lines += [f"  {key}: {first}".rstrip(), *(f"  {line}" for line in rest)]
    return lines


def _list_lines(value: Sequence[Plain], column: int) -> list[str]:
    if any(isinstance(item, Mapping) for item in value):
        return ["", *(line for item in value for line in _row_lines(item))]
    items = [scalar(str(item), flow=True) for item in value]
    flow = f"[{', '.join(items)}]"
    if column + len(flow) <= WIDTH:
        return [flow]
    return ["", *(f"  - {scalar(str(item))}" for item in value)]


def _row_lines(row: Plain) -> list[str]:
    if not isinstance(row, Mapping) or not row:
        return [f"  - {scalar(str(row))}" if row else "  - {}"]
    lines = []
    for name, value in row.items():
        first, *rest = emit_field(name, value).rstrip("\n").split("\n")
        lines += [first, *rest]
    return [f"  - {lines[0]}", *(f"    {line}" for line in lines[1:])]


def _is_date(text: str) -> bool:
    return re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII) is not None


def _can_fold(text: str) -> bool:
    return text.isprintable() and text == text.strip() and "  " not in text and bool(text)


def _folded(text: str, indent: str) -> list[str]:
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        if line and len(indent) + len(line) + 1 + len(word) > WIDTH:
            lines.append(indent + line)
            line = word
        else:
            line = f"{line} {word}" if line else word
    return [*lines, indent + line]
