"""Laying what an import knows of a job over what is recorded already."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import MISSING, dataclass, fields, replace
from typing import Any

from .job import Job

FIELDS = tuple(one.name for one in fields(Job))
ALWAYS_KEPT = ("number",)
"""Never changed by a second import: the key."""


@dataclass(frozen=True, slots=True)
class Merged:
    """What an import did to the table."""

    added: int
    changed: int
    same: int


def overlay(old: Job, new: Job, given: Collection[str] | None = None) -> Job:
    """Give the job as recorded with what `new` says laid over it; ValueError where they clash.

    `given` names the fields that `new` carries; None: those that differ from an empty job's.
    A field that is empty in `new` never empties one. Faults, notes and readings are joined, so
    nothing that was recorded at the bench is lost; signs of `new` hold over the old ones.
    """
    changes: dict[str, Any] = {}
    for name in FIELDS:
        if name in ALWAYS_KEPT or (given is not None and name not in given):
            continue
        value = getattr(new, name)
        empty = value is None or value == "" or value == () or value == {}
        if empty or (given is None and value == _default(name)):
            continue
        changes[name] = _joined(name, getattr(old, name), value)
    return replace(old, **changes)


def _joined(name: str, old: Any, new: Any) -> Any:
    if name == "signs":
        return {**old, **new}
    if name in ("faults", "notes"):
        return (*old, *(one for one in new if one not in old))
    if name == "readings" and new != old:
        news = {(one.fault, one.target): one for one in new}
        kept = [news.pop((one.fault, one.target), one) for one in old]
        return (*kept, *news.values())
    return new


def _default(name: str) -> object:
    found = next(one for one in fields(Job) if one.name == name)
    return None if found.default is MISSING else found.default
