"""Write-ups as documents for the search: which words stand where, and what to narrow by."""

from __future__ import annotations

import re

from fixbook.app.facets import model_key
from fixbook.core.entry import Entry
from fixbook.core.plugins import IndexFields
from fixbook.core.query import Document
from fixbook.core.vocabulary import Vocabulary, listed_signs

_LINK = re.compile(r"(!?)\[((?:[^\[\]\\]|\\.)*)\]\([^()]*\)")
_MARKS = re.compile(
    r"^\s*(?:#{1,6}\s+|\d{1,9}[.)]\s+|[-*+]\s+|>\s?|\|)|\|\s*|[*_`]{1,3}", re.MULTILINE
)


def document(
    entry: Entry, source: str, vocabulary: Vocabulary, extra: list[IndexFields]
) -> Document:
    """Give the document of an entry; `source` is the file it came from."""
    unit = vocabulary.units.get(entry.unit)
    signs = [vocabulary.signs[name] for name in listed_signs(entry) if name in vocabulary.signs]
    parts = {
        "title": entry.title,
        "id": entry.id.replace("-", " "),
        "aliases": " ".join(alias.replace("-", " ") for alias in entry.aliases),
        "unit": " ".join((unit.name, *unit.aliases)) if unit else entry.unit.replace("-", " "),
        "section": entry.section,
        "models": " ".join(entry.models),
        "signs": "\n".join(f"{sign.id.replace('-', ' ')}. {sign.ask}" for sign in signs),
        "lay": "\n".join((*entry.lay, *(one for sign in signs for one in sign.lay))),
        "targets": "\n".join(f"{one.name}. {one.at}. {one.note}" for one in entry.targets),
        "parts": "\n".join(
            " ".join((one.at, one.is_, one.value, one.volts, *one.instead)) for one in entry.parts
        ),
        "tools": " ".join((*entry.tools, *entry.supplies)),
        "body": plain_body(entry.body),
        "plugins": " ".join(one.text for one in extra),
    }
    facets = {
        "unit": (entry.unit,),
        "section": (entry.section,) if entry.section else (),
        "kind": (entry.kind,),
        "hazard": entry.hazards,
        "skill": (entry.skill,) if entry.skill else (),
        "state": (entry.state,),
        "model": tuple(model_key(model) for model in entry.models),
        "sign": listed_signs(entry),
    }
    for one in extra:
        for name, values in one.facets.items():
            facets[name] = tuple(dict.fromkeys((*facets.get(name, ()), *values)))
    shown = {
        "id": entry.id,
        "kind": entry.kind,
        "title": entry.title,
        "unit": entry.unit,
        "section": entry.section,
        "state": entry.state,
    }
    return Document(entry.id, source, {k: v for k, v in parts.items() if v}, facets, shown)


def plain_body(body: str) -> str:
    """Give a body's words without CommonMark's marks, cheaply: nothing is shown from it."""
    words = _LINK.sub(lambda found: found[2], body)
    return _MARKS.sub("", words)
