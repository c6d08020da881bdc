"""Names of files in an archive: such as every system can hold, and none can be fooled by."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator

from fixbook.core.schema import DEVICES

LONGEST = 200
"""Letters in one part of a name; file systems differ, and each of them holds this."""
DEEPEST = 12
HIDDEN_ALLOWED = (".gitignore",)
_FORBIDDEN = frozenset('\\:*?"<>|')


def name_fault(name: str) -> str:
    """Say why a file in an archive cannot have this name; empty where it can."""
    parts = name.split("/")
    if len(parts) > DEEPEST:
        return f"more than {DEEPEST} folders deep"
    if name in HIDDEN_ALLOWED:
        return ""
    return next((fault for part in parts if (fault := _part_fault(part))), "")


def clashes(names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Give names that are one file on some system, each with the reason."""
    seen: dict[str, str] = {}
    folders: dict[str, str] = {}
    for name in names:
        key = _key(name)
        if key in seen:
            yield name, f"the same file as {seen[key]!r} on some systems"
        elif key in folders:
            yield name, f"a file and a folder at once: {folders[key]!r} lies in it"
        seen[key] = name
        while "/" in key:
            key = key.rpartition("/")[0]
            if key in seen:
                yield name, f"it lies in {seen[key]!r}, which is a file"
            folders.setdefault(key, name)


def _part_fault(part: str) -> str:
    if part in ("", ".", ".."):
        return "an empty part, '.' or '..' in it"
    if part.startswith("."):
        return "hidden: a part of it begins with '.'"
    if len(part) > LONGEST:
        return f"longer than {LONGEST} letters"
    if not all(letter.isprintable() for letter in part):
        return "a letter in it that cannot be shown"
    if found := sorted(_FORBIDDEN.intersection(part)):
        return f"{found[0]!r} in it, which not every system can hold"
    if part != part.rstrip(" ."):
        return "a blank or full stop at the end of a part"
    if part.split(".", 1)[0].rstrip().lower() in DEVICES:
        return "the name of a device on some systems"
    return ""


def _key(name: str) -> str:
    """Give what a system that minds neither case nor composition makes of a name."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
