"""JSON Schemas of front matter and of vocabulary files, with the words of one book.

Editors that know JSON Schema complete and check with them while somebody types. What a schema
cannot say (a window that falls, a link to nothing) is said by proofing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from fixbook.core.entry import HOW_OFTEN, KINDS, SHARES, SKILLS, STATES
from fixbook.core.page import FIELD_ORDER
from fixbook.core.readings import READS, WORDS
from fixbook.core.schema import TECHNIQUE
from fixbook.core.vocabulary import SEEN, Sign, Vocabulary

Schema = dict[str, Any]

DIALECT = "https:" + "//json-schema.org/draft/2020-12/schema"
"""The name of the dialect, which is no address here: nothing is fetched from it."""
_ID = {"type": "string", "pattern": "^[a-z][a-z0-9-]{2,59}$"}
_TEXT: Schema = {"type": ["string", "number", "boolean", "null"]}
_FULL: Schema = {"type": ["string", "number", "boolean"], "minLength": 1}
_TEXTS: Schema = {"type": ["array", "null"], "items": _FULL}
_IDS: Schema = {"type": ["array", "null"], "items": _ID}
_WHOLE: Schema = {
    "anyOf": [
        {"type": "integer", "minimum": 0},
        {"type": "string", "pattern": "^[0-9]+$"},
        {"type": "null"},
    ]
}
_RATE: Schema = {
    "anyOf": [
        {"type": "number", "minimum": 0, "maximum": 1},
        {"type": "string", "pattern": r"^(0?\.[0-9]+|[01](\.0*)?)$"},
    ]
}
_MINUTES: Schema = {
    "anyOf": [
        {"type": "number", "minimum": 0.1, "maximum": 1000},
        {"type": "string", "pattern": r"^[0-9]*\.?[0-9]+$"},
        {"type": "null"},
    ]
}


def entry_schema(vocabulary: Vocabulary) -> Schema:
    """Give the schema of a write-up's front matter."""
    fields: dict[str, Schema] = {
        "id": _about(_ID, "the file's name without .md"),
        "kind": _choice(KINDS),
        "title": _about(_FULL, "how it shows, in one line"),
        "unit": _unit(vocabulary),
        "section": _about(_TEXT, "the block of the unit"),
        "models": _about(_TEXTS, "models it is about; empty: any"),
        "share": _choice(SHARES, empty=True),
        "signs": _signs(vocabulary),
        "lay": _about(_TEXTS, "how people ask for it, where no sign says so"),
        "hazards": _words(
            {one.id: one.short.split("\n")[0] for one in vocabulary.hazards.values()}
        ),
        "skill": _choice(SKILLS, empty=True),
        "minutes": _WHOLE,
        "tools": _TEXTS,
        "supplies": _TEXTS,
        "targets": _rows(_target(), ("name", "at", "reads")),
        "parts": _rows(_part(), ("at", "is")),
        "opening": _rows({"do": _FULL, "fasteners": _TEXT}, ("do",)),
        "also": _about(_IDS, "worth doing while it is open"),
        "see": _IDS,
        "sources": _about(_TEXTS, "published references for figures stated here"),
        "aliases": _about(_IDS, "ids it had before"),
        "state": _choice(STATES, empty=True),
        "replaced-by": {"anyOf": [_ID, {"type": "null"}, {"const": ""}]},
        "revised": {
            "anyOf": [{"type": "string", "pattern": r"^(\d{4}-\d\d-\d\d)?$"}, {"type": "null"}]
        },
    }
    return {
        "$schema": DIALECT,
        "title": "front matter of a write-up",
        **_object({name: fields[name] for name in FIELD_ORDER}, ("id", "kind", "title", "unit")),
        "if": {"properties": {"kind": {"const": TECHNIQUE}}, "required": ["kind"]},
        "then": {"properties": {"unit": {"const": TECHNIQUE}}},
        "else": {"properties": {"unit": {"not": {"const": TECHNIQUE}}}},
    }


def words_schema() -> Schema:
    """Give the schema of a vocabulary file."""
    unit = _object({"name": _TEXT, "aliases": _TEXTS, "contains": _IDS}, ())
    sign = _object(
        {
            "ask": _about(_FULL, "a question about something that can be observed"),
            "answers": _about(_TEXTS, "its answers; left out: seen, not-seen"),
            "background": {"type": "object", "additionalProperties": _RATE, "minProperties": 1},
            "minutes": _MINUTES,
            "hazards": _TEXTS,
            "customer": {"enum": [True, False, "true", "false", None]},
            "lay": _about(_TEXTS, "how customers say it"),
            "says-the-same-as": _TEXTS,
        },
        ("ask", "background"),
    )
    hazard = _object({"short": _FULL, "full": _TEXT}, ("short",))
    group = {"type": "array", "items": _FULL, "minItems": 2}
    return {
        "$schema": DIALECT,
        "title": "a vocabulary file",
        **_object(
            {
                "units": _named(unit),
                "signs": _named(sign),
                "hazards": _named(hazard),
                "synonyms": {"type": ["array", "null"], "items": group},
                "one-way": {"type": ["object", "null"], "additionalProperties": _TEXTS},
                "elsewhere": _TEXTS,
            },
            (),
        ),
    }


def _object(fields: Mapping[str, Schema], required: tuple[str, ...]) -> Schema:
    return {
        "type": "object",
        "properties": dict(fields),
        "required": list(required),
        "additionalProperties": False,
    }


def _about(schema: Schema, text: str) -> Schema:
    return {**schema, "description": text}


def _choice(known: Iterable[str], *, empty: bool = False) -> Schema:
    return {"enum": [*known, *([None, ""] if empty else [])]}


def _words(known: Mapping[str, str]) -> Schema:
    items = {"anyOf": [{"const": word, "description": about} for word, about in known.items()]}
    return {"type": ["array", "null"], "items": items if known else False}


def _unit(vocabulary: Vocabulary) -> Schema:
    names = {**{one.id: one.name for one in vocabulary.units.values()}, TECHNIQUE: "a technique"}
    return {"anyOf": [{"const": unit, "description": name} for unit, name in names.items()]}


def _signs(vocabulary: Vocabulary) -> Schema:
    signs = {name: _sign(sign) for name, sign in vocabulary.signs.items()}
    return {"type": ["object", "null"], "properties": signs, "additionalProperties": False}


def _sign(sign: Sign) -> Schema:
    often = {"enum": list(HOW_OFTEN)}
    answers = _object(dict.fromkeys(sign.answers, often), ())
    schema = {"anyOf": [often, answers]} if SEEN in sign.answers else answers
    return _about(schema, sign.ask)


def _target() -> dict[str, Schema]:
    reads = [{"const": one, "description": WORDS.get(one, one)} for one in READS]
    stated = _object({"window": _FULL, "says": _FULL}, ("window", "says"))
    return {
        "name": _FULL,
        "at": _about(_FULL, "between which points, under which conditions"),
        "reads": {"anyOf": reads},
        "window": _about(_TEXT, "lowest .. highest and the unit, as in 0 .. 100 mohm"),
        "windows": {"type": ["array", "null"], "items": stated},
        "for": _about(_TEXTS, "models or revisions; empty: all"),
        "note": _about(_TEXT, "where the figure comes from"),
        "step": _about(_TEXT, "for a trimmer: the smallest and largest move"),
    }


def _part() -> dict[str, Schema]:
    texts = dict.fromkeys(("value", "volts", "temperature", "esr", "ripple", "body"), _TEXT)
    own = {"at": _FULL, "is": _FULL, "count": _WHOLE, "instead": _TEXTS}
    return {**own, **texts}


def _rows(fields: Mapping[str, Schema], required: tuple[str, ...]) -> Schema:
    return {"type": ["array", "null"], "items": _object(fields, required)}


def _named(row: Schema) -> Schema:
    return {"type": ["object", "null"], "patternProperties": {_ID["pattern"]: row},
            "additionalProperties": False}  # fmt: skip
