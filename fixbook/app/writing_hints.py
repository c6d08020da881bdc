"""What a draft can be offered: an id, the hazards it implies, the words of past write-ups."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping

from fixbook.app.library import Library
from fixbook.core.draft import Draft
from fixbook.core.entry import Entry, Part


def draft_entry(draft: Draft) -> Entry:
    """Give as much of an entry as a draft's words tell, to look for what they imply."""
    rows = draft.front.get("parts")
    parts = tuple(
        Part(str(one.get("at", "")), str(one.get("is", "")), str(one.get("value", "")),
             volts=str(one.get("volts", "")))
        for one in (rows if isinstance(rows, (list, tuple)) else ()) if isinstance(one, Mapping)
    )  # fmt: skip
    return Entry(
        id="draft", kind="fault", title=draft.text("title"), unit=draft.text("unit"),
        parts=parts, body="\n".join(draft.texts.values()),
    )  # fmt: skip


def suggested_id(library: Library, draft: Draft, taken: Iterable[str]) -> str:
    """Make an id out of the unit and the title that nothing else has."""
    plain = unicodedata.normalize("NFKD", draft.text("title")).encode("ascii", "ignore").decode()
    words = re.findall(r"[a-z0-9]+", plain.lower())
    small = {"the", "a", "an", "is", "are", "and", "or", "of", "on", "in", "to", "it", "at", "with"}
    unit = draft.text("unit").split("-")[-1][:12]
    kept = [word for word in words if word not in small] or words
    base = "-".join([unit, *kept[:4]] if unit else kept[:5]).strip("-")[:50].rstrip("-")
    if len(base) < 3 or not base[0].isalpha():
        base = f"write-up-{base}".rstrip("-")
    known = {*taken, *(path.rsplit("/", 1)[-1].removesuffix(".md") for _, path in library.files())}
    number = 2
    id = base
    while id in known:
        id, number = f"{base}-{number}", number + 1
    return id


def usual_hazards(past: Iterable[Entry]) -> dict[str, tuple[str, ...]]:
    """Give the hazards that most write-ups of each unit declare."""
    counts: dict[str, Counter[str]] = {}
    wholes: Counter[str] = Counter()
    for entry in past:
        wholes[entry.unit] += 1
        counts.setdefault(entry.unit, Counter()).update(entry.hazards)
    return {
        unit: tuple(one for one, count in found.items() if count * 2 > wholes[unit])
        for unit, found in counts.items()
    }


def used_words(past: Iterable[Entry], name: str) -> dict[str, str]:
    """Give what past write-ups say in a field, each with the unit it was said of."""
    words: dict[str, str] = {}
    for entry in past:
        if name == "targets":
            found = [f"{one.name}; {one.at}" for one in entry.targets]
        elif name == "parts":
            found = ["; ".join(filter(None, (one.is_, one.value))) for one in entry.parts]
        elif name == "section":
            found = [entry.section] if entry.section else []
        else:
            found = list(getattr(entry, name))
        for word in found:
            words.setdefault(word, entry.unit)
    return words
