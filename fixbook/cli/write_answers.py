"""The answers of `fixbook write` that stand on the command line, or in a file of fields."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence

from fixbook.app.writing_form import Question, with_sign
from fixbook.cli.words import UsageError
from fixbook.core.draft import TEXTS, Draft
from fixbook.core.draft_lines import UnknownSignError
from fixbook.core.vocabulary import SEEN
from fixbook.errors import BookError

SINGLE = ("unit", "title", "section", "skill", "minutes")
"""What has one answer; texts and lists may be said in several options."""


def answered(draft: Draft, given: argparse.Namespace, form: Sequence[Question]) -> Draft:
    """Put what the options say into a draft.

    A sign that the book does not have is kept as it was typed, so that proofing reports it. UsageError
    where one option contradicts another; QueryError where an answer cannot be read.
    """
    if given.seen:
        draft = draft.with_text("seen", "\n\n".join(given.seen))
    for question in form:
        said = [text for text in getattr(given, question.name, None) or () if text.strip()]
        if question.name in SINGLE and len(set(said)) > 1:
            raise UsageError(f"--{question.name} was given twice, {said[0]!r} and {said[1]!r}",
                             input=f"--{question.name}", read=said[1], hint="give it once")  # fmt: skip
        if question.name in TEXTS and not question.many:
            said = ["\n\n".join(said)] if said else []
        elif not question.many and question.name not in SINGLE:
            said = [", ".join(said)] if said else []
        if question.name == "signs":
            _refuse_two(said, question)
        for text in said:
            draft = _answer(draft, question, text)
    return draft


def _answer(draft: Draft, question: Question, text: str) -> Draft:
    try:
        return question.answer(draft, text)
    except UnknownSignError as error:
        return with_sign(draft, error.sign, error.said)


def _refuse_two(said: Sequence[str], question: Question) -> None:
    """Raise UsageError where two options say different things of one sign's answer."""
    typed: dict[tuple[str, str], tuple[str, str]] = {}
    for text in said:
        signs = _answer(Draft(), question, text).front.get("signs")
        for sign, value in signs.items() if isinstance(signs, Mapping) else ():
            answers = value.items() if isinstance(value, Mapping) else [(SEEN, value)]
            for answer, often in answers:
                first, before = typed.setdefault((sign, answer), (text, str(often)))
                if before != often:
                    raise UsageError(f"--sign was given twice for {sign}, {first!r} and {text!r}",
                                     input="--sign", read=text, hint="give it once")  # fmt: skip


def read_json(source: str) -> object:
    """Read JSON from a file or, for `-`, a pipe; BookError where it cannot be, or a name is twice."""
    try:
        if source == "-":
            return json.load(sys.stdin, object_pairs_hook=_once)
        with open(source, encoding="utf-8-sig") as file:
            return json.load(file, object_pairs_hook=_once)
    except (OSError, ValueError, RecursionError) as error:
        what = getattr(error, "strerror", None) or str(error)
        raise BookError(
            f"{source} cannot be read: {what}", input="--from", read=source,
            hint="give a JSON object of fields, as in {\"unit\": \"power-amplifier\"}",
        ) from error  # fmt: skip


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    """Make an object; ValueError where one name has two values, of which one would be lost."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"{twice!r} stands twice in one object; keep one of them")
    return found
