"""Front matter to `Entry`: every field typed, every fault collected with its place.

An entry is made whenever its id, kind, title and unit can be read; a field that is wrong is
reported and left empty. A hazard that the vocabulary lacks, or that stands alone where a list is
expected, is reported and kept: a caution must never vanish over a spelling.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from functools import partial

from fixbook.core.entry import (
    HOW_OFTEN,
    KINDS,
    SHARES,
    SKILLS,
    STATES,
    Entry,
    Opening,
    Part,
    Target,
    Window,
)
from fixbook.core.fields import FieldReader
from fixbook.core.meant import meant_how_often, meant_reading, meant_sign
from fixbook.core.problems import Problem
from fixbook.core.quantity import NUMBER, Kind
from fixbook.core.raw import Fields, Items, Raw, Text, describe
from fixbook.core.reading import read_range
from fixbook.core.readings import READS
from fixbook.core.vocabulary import SEEN, Vocabulary
from fixbook.errors import QuantityError

_ID = re.compile(r"[a-z][a-z0-9-]{2,59}")
DEVICES = frozenset(
    ["con", "nul", "prn", "aux", *(f"{name}{n}" for name in ("com", "lpt") for n in range(10))]
)
"""Names that some systems keep for devices."""
TECHNIQUE = "technique"


def id_fault(word: str) -> str:
    """Say what is wrong with a word as an id; empty where nothing is."""
    if word in DEVICES:
        return f"{word!r} is the name of a device on some systems"
    if not _ID.fullmatch(word):
        return f"{word!r} is no id: 3 to 60 of a to z, 0 to 9 and hyphens, a letter first"
    return ""


def read_entry(
    front: Fields, body: str, vocabulary: Vocabulary, *, file: str, body_line: int = 1
) -> tuple[Entry | None, list[Problem]]:
    """Type a write-up's front matter; give the entry (None where unusable) and all faults."""
    problems: list[Problem] = []
    read = FieldReader(file, front, problems)
    kind = read.choice("kind", KINDS, "kind of entry", required=True)
    unit = read.choice("unit", (*vocabulary.units, TECHNIQUE), "unit", required=True)
    if kind and unit and (kind == TECHNIQUE) != (unit == TECHNIQUE):
        read.fault(
            read.raw("unit") or front,
            "technique-unit",
            f"a {kind} has unit: {unit}",
            "a technique, and nothing else, has unit: technique",
        )
    share = read.choice("share", SHARES, "share")
    entry = Entry(
        id=_read_id(read),
        kind=kind,
        title=" ".join(read.text("title", required=True).split()),
        unit=unit,
        section=read.text("section"),
        models=read.texts("models"),
        share=share or "occasional",
        signs=_read_signs(read, vocabulary),
        lay=read.texts("lay"),
        hazards=_read_hazards(read, vocabulary),
        skill=read.choice("skill", SKILLS, "skill"),
        minutes=read.whole("minutes", most=10_000),
        tools=read.texts("tools"),
        supplies=read.texts("supplies"),
        targets=_read_targets(read),
        parts=_read_parts(read),
        opening=_read_opening(read),
        also=_read_ids(read, "also"),
        see=_read_ids(read, "see"),
        sources=read.texts("sources"),
        aliases=_read_ids(read, "aliases"),
        state=read.choice("state", STATES, "state") or "written",
        replaced_by=read.text("replaced-by"),
        revised=_read_date(read, "revised"),
        body=body,
        body_line=body_line,
    )
    read.unread()
    problems.sort()
    usable = entry.id and entry.kind and entry.title and entry.unit
    return (entry if usable else None), problems


def _read_id(read: FieldReader) -> str:
    word = read.text("id", required=True)
    if fault := id_fault(word) if word else "":
        read.fault(read.raw("id") or read.fields, "id", fault, "give it another id")
        return ""
    return word


def _read_ids(read: FieldReader, field: str) -> tuple[str, ...]:
    good = []
    for item in read.items(field):
        word = item.text.strip()
        if fault := id_fault(word):
            read.fault(item, "id", f"{field}: {fault}", "mend the id")
        else:
            good.append(word)
    return tuple(good)


def _read_date(read: FieldReader, field: str) -> str:
    text = read.text(field)
    try:
        return datetime.date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        read.fault(
            read.raw(field) or read.fields,
            "date",
            f"{field}: {text!r} is no date",
            "write year-month-day, as in 2026-11-25",
        )
        return ""


def _read_hazards(read: FieldReader, vocabulary: Vocabulary) -> tuple[str, ...]:
    read.names("hazards", vocabulary.hazards, "hazard")
    found = read.raw("hazards")
    items = found.items if isinstance(found, Items) else [found]
    words = [item.text.strip() for item in items if isinstance(item, Text)]
    return tuple(dict.fromkeys(word for word in words if word))


def _read_signs(read: FieldReader, vocabulary: Vocabulary) -> Mapping[str, Mapping[str, str]]:
    found = read.mapping("signs")
    signs: dict[str, Mapping[str, str]] = {}
    known, meant = tuple(vocabulary.signs), partial(meant_sign, vocabulary=vocabulary)
    if found is None:
        return signs
    for name, value in found.fields.items():
        if not read.is_known(found.keys[name], known, "signs", "sign", name, meant):
            continue
        answers = vocabulary.signs[name].answers
        if isinstance(value, Fields):
            said = {
                answer: word.text.strip()
                for answer, word in value.fields.items()
                if read.is_known(value.keys[answer], answers, f"signs.{name}", "answer", answer)
                and _is_how_often(read, name, word)
                and isinstance(word, Text)
            }
        elif SEEN not in answers:
            read.fault(
                value,
                "sign-answers",
                f"signs.{name} is {describe(value)}, but the sign has answers of its own",
                f"write {{{answers[0]}: usually}}, of {', '.join(answers)}",
            )
            continue
        else:
            ok = _is_how_often(read, name, value)
            said = {SEEN: value.text.strip()} if ok and isinstance(value, Text) else {}
        if said:
            signs[name] = said
    return signs


def _is_how_often(read: FieldReader, sign: str, value: Raw) -> bool:
    if not isinstance(value, Text):
        read.fault(
            value,
            "wrong-shape",
            f"signs.{sign} is {describe(value)}",
            f"expected one of {', '.join(HOW_OFTEN)}",
        )
        return False
    return read.is_known(
        value, tuple(HOW_OFTEN), f"signs.{sign}", "how-often word", meant=meant_how_often
    )


def _read_targets(read: FieldReader) -> tuple[Target, ...]:
    return tuple(
        target for row in read.rows("targets") if (target := _read_target(row)) is not None
    )


def _read_target(row: FieldReader) -> Target | None:
    name = row.text("name", required=True)
    at = row.text("at", required=True)
    reads = row.choice("reads", READS, "reading", required=True, meant=meant_reading)
    kind = READS.get(reads, NUMBER)
    windows = _read_windows(row, kind) if reads else ()
    target = Target(
        name=name,
        at=at,
        reads=reads,
        kind=kind,
        windows=windows,
        models=row.texts("for"),
        note=row.text("note"),
        step=_read_window(row, "step", kind),
    )
    row.raw("window"), row.raw("windows")  # asked for even where `reads` is wrong
    row.unread()
    return target if name and reads else None


def _read_windows(row: FieldReader, kind: Kind) -> tuple[Window, ...]:
    windows = []
    if (single := _read_window(row, "window", kind)) is not None:
        windows.append(single)
    for stated in row.rows("windows"):
        window = _read_window(stated, "window", kind, says=stated.text("says", required=True))
        stated.unread()
        if window is not None:
            windows.append(window)
    return tuple(windows)


def _read_window(row: FieldReader, field: str, kind: Kind, *, says: str = "") -> Window | None:
    text = row.text(field)
    at = row.raw(field)
    if not text or at is None:
        return None
    try:
        span = read_range(text, kind, name=row.name(field), open_ended=True)
    except QuantityError as error:
        hint = f"write {' or '.join(error.choices)}" if error.choices else "mend the window"
        row.fault(at, "window", error.why, error.hint or hint)
        return None
    low = span.low.value if span.low else None
    high = span.high.value if span.high else None
    if low is not None and low == high:
        why = f"{row.name(field)}: {text} leaves no room between its ends"
        row.fault(at, "window", why, "write the lowest and the highest acceptable value")
        return None
    return Window(low, high, text, says)


def _read_parts(read: FieldReader) -> tuple[Part, ...]:
    parts = []
    for row in read.rows("parts"):
        part = Part(
            at=row.text("at", required=True),
            is_=row.text("is", required=True),
            value=row.text("value"),
            count=row.whole("count", least=1, most=1000) or 1,
            instead=row.texts("instead"),
            volts=row.text("volts"),
            temperature=row.text("temperature"),
            esr=row.text("esr"),
            ripple=row.text("ripple"),
            body=row.text("body"),
        )
        row.unread()
        if part.at and part.is_:
            parts.append(part)
    return tuple(parts)


def _read_opening(read: FieldReader) -> tuple[Opening, ...]:
    steps = []
    for row in read.rows("opening"):
        step = Opening(do=row.text("do", required=True), fasteners=row.text("fasteners"))
        row.unread()
        if step.do:
            steps.append(step)
    return tuple(steps)
