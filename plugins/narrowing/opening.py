"""From what was typed to a case: the unit, its faults, the signs that the words may mean."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from fixbook.api import Bench, Sign, close_matches, did_you_mean

from .belief import NOT_CHECKED
from .case import Case
from .complaint import Proposal, Wordings, found_units
from .errors import NarrowError
from .model import build_model, faults_of


def open_case(bench: Bench, unit: str, *, words: str, said: Mapping[str, str]) -> Case:
    """Make the case of a unit; signs that the words may mean are proposed."""
    vocabulary = bench.vocabulary
    entries = bench.entries(vocabulary.unit_and_contents(unit))
    faults = faults_of(entries, vocabulary, unit)
    model = build_model(unit, faults, vocabulary, bench.evidence(unit))
    proposals: Iterable[Proposal] = ()
    if words.strip():
        signs = [question.sign for question in model.questions.values()]
        proposals = Wordings(signs, vocabulary, bench.terms).propose(words)
    return Case(model, tuple(said.items()), tuple(proposals))


def read_unit(bench: Bench, typed: str) -> str:
    """Give the unit that was named by its id, name or other name; NarrowError otherwise."""
    units, wanted = bench.vocabulary.units, typed.strip().lower()
    if found := bench.vocabulary.unit_named(typed):
        return found
    hint = did_you_mean(wanted, units, otherwise=f"one of {few(known_units(bench))}")
    raise NarrowError(
        f"there is no unit {typed!r}; {hint}",
        input="--unit",
        read=typed,
        choices=close_matches(wanted, units) or tuple(units),
    )


def guess_units(bench: Bench, words: str) -> list[str]:
    """Give the units that the words may be about, the best guess first.

    Named ones where any is named; else those whose faults show what the words may mean.
    """
    vocabulary = bench.vocabulary
    if not words.strip():
        return []
    named = list(found_units(words, vocabulary, bench.terms))
    if named:
        return named
    faults = [
        one for one in bench.entries() if one.kind == "fault" and one.unit in vocabulary.units
    ]
    signs = vocabulary.signs.values()
    scores: dict[str, float] = {}
    for made in Wordings(signs, vocabulary, bench.terms).propose(words):
        for unit in {one.unit for one in faults if made.sign in one.signs}:
            scores[unit] = scores.get(unit, 0.0) + made.score
    return sorted(scores, key=lambda unit: (-scores[unit], unit))


def known_units(bench: Bench) -> list[str]:
    """Give the units that an apparatus can be; how work is done is none."""
    return [unit for unit in bench.vocabulary.units if unit != "technique"]


def few(names: Sequence[str], most: int = 6) -> str:
    """Name some of many."""
    return ", ".join(names[:most]) + (" …" if len(names) > most else "")


def read_signs(bench: Bench, typed: Sequence[str]) -> dict[str, str]:
    """Read `NAME=ANSWER` texts; NarrowError, with close matches, for what is none."""
    signs = bench.vocabulary.signs
    found: dict[str, str] = {}
    for text in typed:
        name, equals, answer = text.partition("=")
        name, answer = _plain(name), _plain(answer)
        if name not in signs:
            hint = bench.vocabulary.meant_sign(name)
            raise NarrowError(
                f"there is no sign {name!r}; {hint}",
                input="--sign",
                read=text,
                choices=close_matches(name, signs),
            )
        found[name] = _answer(signs[name], answer if equals else "", text, found)
    return found


def _answer(sign: Sign, answer: str, text: str, found: Mapping[str, str]) -> str:
    answers = (*sign.answers, NOT_CHECKED)
    if answer not in answers:
        hint = did_you_mean(answer, answers, otherwise=f"one of {', '.join(answers)}")
        why = f"has no answer {answer!r}; {hint}" if answer else f"needs an answer; {hint}"
        raise NarrowError(f"the sign {sign.id} {why}", input="--sign", read=text, choices=answers)
    if found.get(sign.id, answer) != answer:
        raise NarrowError(
            f"the sign {sign.id} was given two answers, {found[sign.id]} and {answer}",
            input="--sign",
            read=text,
            hint="give it once",
        )
    return answer


def _plain(text: str) -> str:
    return "-".join(text.strip().lower().split())
