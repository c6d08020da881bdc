"""What a book remembers of its imports: which column goes where, and what the shop's words mean."""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from fixbook.api import what_to_do

from .cells import folded
from .columns import NAMES, NOTHING
from .errors import JobError
from .job import OUTCOMES, STAGES

FILE = "job-import.json"
_VERSION = 1
_MOST_LAYOUTS = 50


@dataclass(frozen=True, slots=True)
class Layout:
    """How a file with certain columns is read."""

    fields: Mapping[str, str]
    """Each column's field."""
    key: tuple[str, ...] = ()
    """The columns by which a row is known again, where there is no job number."""
    day_first: bool | None = None
    """How its dates are written; None: as they show, or as the shop's settings say."""


@dataclass(frozen=True, slots=True)
class Memory:
    """All that a book remembers of imports."""

    layouts: tuple[Layout, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    """The shop's words for outcomes and stages."""
    units: Mapping[str, str] = field(default_factory=dict)
    """The shop's words for units."""

    def layout_for(self, columns: Sequence[str]) -> Layout | None:
        """Give how a file with these columns, or with these among others, was read the last time.

        A file of rejected rows has fewer columns than the history it comes from.
        """
        wanted = _key(columns)
        same = (one for one in self.layouts if _key(one.fields) == wanted)
        wider = (one for one in self.layouts if len(wanted) > 1 and _key(one.fields) > wanted)
        return next(same, None) or next(wider, None)

    def with_layout(self, layout: Layout) -> Memory:
        """Remember how a file was read, in the place of what was remembered of its columns."""
        others = [one for one in self.layouts if _key(one.fields) != _key(layout.fields)]
        return replace(self, layouts=(layout, *others[: _MOST_LAYOUTS - 1]))


def load(folder: str) -> Memory:
    """Read what the book in a folder remembers; JobError where the file is not ours any more."""
    path = Path(folder, FILE)
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Memory()
    except (OSError, ValueError) as error:
        raise _unusable(path, str(error)) from error
    try:
        if data["version"] != _VERSION:
            why = f"it is of version {data['version']}, and this fixbook reads {_VERSION}"
            raise _unusable(path, why)
        return Memory(
            layouts=tuple(_layout(one) for one in data["layouts"]),
            words=_checked(data["words"], (*OUTCOMES, *STAGES, NOTHING)),
            units=_texts(data["units"]),
        )
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise _unusable(path, f"{type(error).__name__}: {error}") from error


def save(folder: str, memory: Memory) -> None:
    """Write what is to be remembered, in one step; JobError where the book cannot be written."""
    data = {
        "version": _VERSION,
        "words": dict(memory.words),
        "units": dict(memory.units),
        "layouts": [
            {"fields": dict(one.fields), "key": list(one.key), "day_first": one.day_first}
            for one in memory.layouts
        ],
    }
    text = json.dumps(data, indent=1, ensure_ascii=False) + "\n"
    replace_text(Path(folder, FILE), text)


def replace_text(path: Path, text: str) -> None:
    """Write a file so that a kill leaves the old text or the new; JobError where it cannot be."""
    try:
        handle, name = tempfile.mkstemp(prefix=".fixbook-partial-", dir=path.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(name)
            raise
    except OSError as error:
        raise JobError(
            f"{path} cannot be written: {error.strerror}",
            input="FILE",
            read=str(path),
            hint=what_to_do(error, "see that you may write there"),
        ) from error


def _key(columns: Sequence[str] | Mapping[str, str]) -> frozenset[str]:
    return frozenset(folded(column) for column in columns)


def _layout(data: Mapping[str, Any]) -> Layout:
    day_first = data.get("day_first")
    return Layout(
        fields=_checked(data["fields"], (*NAMES, NOTHING)),
        key=tuple(str(one) for one in data["key"]),
        day_first=day_first if isinstance(day_first, bool) else None,
    )


def _checked(data: Mapping[str, Any], known: Sequence[str]) -> dict[str, str]:
    found = _texts(data)
    for name, value in found.items():
        if value not in known:
            raise ValueError(f"{name!r} stands for {value!r}, which there is not")
    return found


def _texts(data: Mapping[str, Any]) -> dict[str, str]:
    return {str(name): str(value) for name, value in data.items()}


def _unusable(path: Path, why: str) -> JobError:
    return JobError(
        f"{path} cannot be used: {why}",
        hint="delete it, and the columns are guessed anew",
        input="FILE",
        read=str(path),
    )
