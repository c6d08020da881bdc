"""The questions of a write-up, in the order a technician thinks, and what an answer does.

Nothing here knows a terminal: a question is a value, and an answer turns one draft into the next.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fixbook.app.library import Library
from fixbook.app.writing_hints import draft_entry, used_words, usual_hazards
from fixbook.core.draft import Draft
from fixbook.core.draft_lines import (
    QUOTES,
    read_part_line,
    read_sign_line,
    read_target_line,
    sign_value,
)
from fixbook.core.entry import SKILLS
from fixbook.core.front_emit import Plain
from fixbook.core.problems import did_you_mean
from fixbook.core.proof_hazards import implied_hazards
from fixbook.core.schema import TECHNIQUE
from fixbook.core.vocabulary import SEEN, Vocabulary
from fixbook.errors import QueryError

NOTHING = ("none", "nothing", "-")
"""Answers that say that there is nothing, which is no gap."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question of the form."""

    name: str
    """The field or text it is about."""
    ask: str
    answer: Callable[[Draft, str], Draft]
    """Gives the draft with the answer in it; QueryError where it cannot be read."""
    words: Mapping[str, str] = field(default_factory=dict)
    """What is offered while typing, each with a word about it."""
    many: bool = False
    """Whether it is asked again until nothing is typed."""
    given: Callable[[Draft], str] = lambda draft: ""
    """What stands there to be accepted or changed."""
    got: Callable[[Draft], tuple[str, ...]] = lambda draft: ()
    """What several answers have come to so far, one line each."""


def questions(library: Library) -> list[Question]:
    """Give the questions for one book, with the words that its write-ups use."""
    vocabulary = library.vocabulary
    past = [filed.entry for filed in library.filed()]
    usual = usual_hazards(past)
    units = {one.id: one.name for one in vocabulary.units.values()}
    signs = {one.id: one.ask for one in vocabulary.signs.values()}
    skills = dict.fromkeys(SKILLS, "")
    return [
        Question("unit", "unit", _unit(vocabulary), units, given=_text("unit")),
        Question("models", "models it is about, with commas (empty: any)", _list("models"),
                 used_words(past, "models"), given=_joined("models")),
        Question("signs", "what was seen: a sign and how often, or in the customer's words",
                 _seen(vocabulary), signs, many=True, got=_signs_got),
        Question("found", "what was found, and why it fails", _say("found"),
                 given=_said("found")),
        Question("title", "title: how it shows, in one line", _field("title"),
                 given=_title),
        Question("section", "section of the unit", _field("section"), used_words(past, "section"),
                 given=_text("section")),
        Question("targets", "what was measured: NAME; WHERE, HOW; GOOD READING", _row(
                 "targets", read_target_line), used_words(past, "targets"), many=True,
                 got=_rows_got("targets")),
        Question("parts", "what was replaced: WHAT; VALUE; WHERE", _row("parts", read_part_line),
                 used_words(past, "parts"), many=True, got=_rows_got("parts")),
        Question("done", "what was done, a step a line, cautions first", _step, many=True,
                 got=lambda draft: tuple(draft.texts.get("done", "").split("\n")[:20])),
        Question("proved", "how it was proved", _say("proved"), given=_said("proved")),
        Question("hazards", "what can hurt, with commas (none: nothing)", _hazards(vocabulary),
                 {one.id: one.short.split("\n")[0] for one in vocabulary.hazards.values()},
                 given=_hazards_given(usual)),
        Question("tools", "tools, with commas", _list("tools"), used_words(past, "tools"),
                 given=_joined("tools")),
        Question("skill", "skill", _choice("skill", SKILLS), skills, given=_text("skill")),
        Question("minutes", "minutes", _minutes, given=lambda d: str(d.front.get("minutes", ""))),
    ]  # fmt: skip


Answer = Callable[[Draft, str], Draft]


def _unit(vocabulary: Vocabulary) -> Answer:
    def answer(draft: Draft, text: str) -> Draft:
        wanted = text.strip().lower()
        unit = vocabulary.unit_named(text)
        if unit and unit != TECHNIQUE:
            kind = "fault" if draft.text("kind") == TECHNIQUE else draft.text("kind")
            return draft.with_field("kind", kind).with_field("unit", unit)
        if wanted == TECHNIQUE or unit:
            return draft.with_field("unit", TECHNIQUE).with_field("kind", TECHNIQUE)
        known = tuple(dict.fromkeys((*vocabulary.units, TECHNIQUE)))
        hint = did_you_mean(wanted, known, otherwise=f"one of {', '.join(known)}")
        raise QueryError(f"there is no unit {text.strip()!r}; {hint}", input="unit", read=text)

    return answer


def _seen(vocabulary: Vocabulary) -> Answer:
    def answer(draft: Draft, text: str) -> Draft:
        found = read_sign_line(text, vocabulary)
        if found is None:
            words, said = text.strip(), draft.texts.get("seen", "")
            if len(words) > 2 and words[0] in QUOTES and words[-1] in QUOTES:
                words = words[1:-1].strip()
            return draft.with_text("seen", f"{said}\n\n{words}" if said else words)
        return with_sign(draft, *found)

    return answer


def with_sign(draft: Draft, sign: str, said: Mapping[str, str]) -> Draft:
    """Give the draft with a sign in it; another answer of the same sign stays beside it."""
    signs: dict[str, Plain] = dict(_held(draft, "signs", Mapping, "an object of signs") or {})
    old = signs.get(sign)
    answers = {SEEN: old} if isinstance(old, str) else dict(old) if isinstance(old, Mapping) else {}
    whole = {**{name: str(often) for name, often in answers.items()}, **said}
    return draft.with_field("signs", {**signs, sign: sign_value(whole)})


def _held(draft: Draft, name: str, shape: type[Any], wanted: str) -> Any:
    """Give what a field holds already; QueryError where nothing can be added to it."""
    held = draft.front.get(name)
    if held in (None, "") or (isinstance(held, shape) and not isinstance(held, str)):
        return held
    raise QueryError(f"{name} holds {held!r}, to which nothing can be added; write {wanted} there",
                     input=name, read=str(held))  # fmt: skip


def _hazards(vocabulary: Vocabulary) -> Answer:
    def answer(draft: Draft, text: str) -> Draft:
        words = _words(text)
        for word in words:
            if word not in vocabulary.hazards:
                known = tuple(vocabulary.hazards)
                hint = did_you_mean(word, known, otherwise=f"one of {', '.join(known)}")
                raise QueryError(f"there is no hazard {word!r}; {hint}", input="hazards", read=text)
        return draft.with_field("hazards", list(words))

    return answer


def _hazards_given(usual: Mapping[str, tuple[str, ...]]) -> Callable[[Draft], str]:
    """Offer what was said, what the text implies, and what most write-ups of the unit declare."""

    def given(draft: Draft) -> str:
        implied = implied_hazards(draft_entry(draft))
        whole = (*draft.items("hazards"), *implied, *usual.get(draft.text("unit"), ()))
        return ", ".join(dict.fromkeys(whole))

    return given


def _row(name: str, read: Callable[[str], dict[str, str]]) -> Answer:
    def answer(draft: Draft, text: str) -> Draft:
        rows: list[Plain] = list(_held(draft, name, Sequence, "a list") or ())
        if text.strip().lower() in NOTHING:
            return draft.with_field(name, rows)
        row = read(text)
        for number, old in enumerate(rows):
            if name == "targets" and isinstance(old, Mapping) and _completes(old, row):
                notes = (str(old.get("note") or ""), row.get("note", ""))
                note = "; ".join(dict.fromkeys(one for one in notes if one))
                rows[number] = {**old, **row, **({"note": note} if note else {})}
                return draft.with_field(name, rows)
        return draft.with_field(name, [*rows, row])

    return answer


def _completes(old: Mapping[str, Plain], row: Mapping[str, str]) -> bool:
    """Say whether a target that was typed is the one begun before, and says nothing else of it."""
    rest = [(old.get(key), value) for key, value in row.items() if key not in ("name", "note")]
    same = old.get("name") == row["name"]
    return same and all(before in (None, "", after) for before, after in rest)


def _step(draft: Draft, text: str) -> Draft:
    said = draft.texts.get("done", "")
    return draft.with_text("done", f"{said}\n{text.strip()}" if said else text.strip())


def _minutes(draft: Draft, text: str) -> Draft:
    digits = text.strip().removesuffix("min").strip()
    if not (digits.isascii() and digits.isdigit() and int(digits[:9]) <= 10_000):
        raise QueryError(
            f"{text.strip()!r} is no whole number of minutes", input="minutes", read=text
        )
    return draft.with_field("minutes", int(digits))


def _choice(name: str, known: tuple[str, ...]) -> Answer:
    def answer(draft: Draft, text: str) -> Draft:
        word = "-".join(text.split()).lower()
        if word not in known:
            hint = did_you_mean(word, known, otherwise=f"one of {', '.join(known)}")
            raise QueryError(f"there is no {name} {text.strip()!r}; {hint}", input=name, read=text)
        return draft.with_field(name, word)

    return answer


def _field(name: str) -> Answer:
    return lambda draft, text: draft.with_field(name, " ".join(text.split()))


def _say(name: str) -> Answer:
    return lambda draft, text: draft.with_text(name, text.strip())


def _list(name: str) -> Answer:
    return lambda draft, text: draft.with_field(name, list(_words(text)))


def _words(text: str) -> tuple[str, ...]:
    if text.strip().lower() in NOTHING:
        return ()
    return tuple(one.strip() for one in text.split(",") if one.strip())


def _text(name: str) -> Callable[[Draft], str]:
    return lambda draft: draft.text(name)


def _said(name: str) -> Callable[[Draft], str]:
    return lambda draft: " ".join(draft.texts.get(name, "").split())


def _joined(name: str) -> Callable[[Draft], str]:
    return lambda draft: ", ".join(draft.items(name))


def _title(draft: Draft) -> str:
    seen = draft.texts.get("seen", "").strip().split("\n")[0]
    return draft.text("title") or seen[:80].rstrip(". ")


def _signs_got(draft: Draft) -> tuple[str, ...]:
    held = draft.front.get("signs")
    signs = held.items() if isinstance(held, Mapping) else ()
    lines = [f"{name}: {said}" if isinstance(said, str) else
             f"{name}: {', '.join(f'{k} {v}' for k, v in said.items())}"
             for name, said in signs if isinstance(said, (str, Mapping))]  # fmt: skip
    said_so = draft.texts.get("seen", "")
    return (*lines, *(one for one in said_so.split("\n") if one.strip()))


def _rows_got(name: str) -> Callable[[Draft], tuple[str, ...]]:
    def got(draft: Draft) -> tuple[str, ...]:
        held = draft.front.get(name)
        rows = held if isinstance(held, (list, tuple)) else ()
        return tuple(
            "; ".join(str(value) for value in row.values())
            for row in rows
            if isinstance(row, Mapping)
        )

    return got
