"""JSON: an object on each line, or one list of objects."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from fixbook.api import UnreadableRow

from .cells import text_of, unreadable
from .delimited import opened
from .errors import JobError

LARGEST_LIST = 512 << 20
"""Characters of one JSON list, which has to be read whole."""


def rows(path: str, options: Mapping[str, str]) -> Iterator[Mapping[str, str] | UnreadableRow]:
    """Give each object's values as texts by name; lists and objects inside stay JSON."""
    with opened(path, options.get("encoding") or "") as file:
        first = file.read(1)
        while first and first.isspace():
            first = file.read(1)
        file.seek(0)
        if first == "[":
            yield from _whole(path, file.read(LARGEST_LIST))
            return
        for line in file:
            yield _line(line) if line.strip() else {}


def _whole(path: str, text: str) -> Iterator[Mapping[str, str] | UnreadableRow]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise JobError(
            f"{path} is not JSON: {error}",
            hint="a list of objects, or an object on each line",
            input="FILE",
            read=path,
        ) from error
    for one in found:
        yield _row(one, json.dumps(one))


def _line(line: str) -> Mapping[str, str] | UnreadableRow:
    try:
        return _row(json.loads(line), line)
    except (ValueError, RecursionError) as error:
        return unreadable(line, f"it is not JSON: {error}")


def _row(found: Any, text: str) -> Mapping[str, str] | UnreadableRow:
    if not isinstance(found, dict):
        return unreadable(text, 'it is no JSON object: {"column": value, …} is wanted')
    return {str(name): _text(value) for name, value in found.items()}


def _text(value: Any) -> str:
    if isinstance(value, (list, dict)):
        return json.dumps(value, ensure_ascii=False) if value else ""
    return text_of(value)
