"""How a history is to be read: remembered, else guessed; shown, corrected and remembered."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from fixbook.api import Bench, CalculationError, Input, TableBlock, close_matches, did_you_mean

from .cells import folded
from .checking import unit_id
from .columns import NOTHING, Guess, column_called, corrected, guess
from .dates import order_of
from .errors import JobError
from .import_memory import Layout, Memory
from .job import OUTCOMES, STAGES
from .privacy import PRIVATE, looks_private
from .row_jobs import Plan
from .shop_words import ShopWords

DATES = ("booked_in", "handed_over")
MEANINGS = (*OUTCOMES, *STAGES, NOTHING)
AGAIN = "as the last time"
_FRACTION = re.compile(r"\d+\.0+")


@dataclass(frozen=True, slots=True)
class Agreed:
    """What was agreed on about a history, and what the book is to remember of it."""

    plan: Plan
    guesses: tuple[Guess, ...]
    words: ShopWords
    memory: Memory


def agree(
    bench: Bench,
    given: argparse.Namespace,
    *,
    columns: Sequence[str],
    sample: Sequence[Mapping[str, str]],
    memory: Memory,
) -> Agreed:
    """Settle where the columns go; asked on a terminal, taken as guessed elsewhere."""
    quiet = given.json or given.yes
    layout = memory.layout_for(columns)
    guesses = _remembered(columns, layout) if layout else guess(columns, sample)
    guesses = corrected(guesses, given.map or ())
    if not given.json:
        bench.show([shown(guesses)])
    if not quiet:
        guesses = _asked(bench, guesses)
    key = _key(bench, given, guesses, layout, ask=not quiet)
    said = given.day_first or (False if given.month_first else None)
    day_first = said if said is not None else layout.day_first if layout else None
    fields = {one.column: one.field for one in guesses}
    memory = _with_words(bench, given, memory)
    memory = memory.with_layout(Layout(fields, key, day_first))
    plan = Plan(
        fields=fields,
        key=key,
        day_first={
            column: _order(bench, column, sample, day_first)
            for column, field in fields.items()
            if field in DATES
        },
        today=date.today(),
        whole_numbers=_whole_numbers(fields, sample),
    )
    words = ShopWords(bench.vocabulary, memory.words, memory.units)
    return Agreed(plan, tuple(guesses), words, memory)


def shown(guesses: Sequence[Guess]) -> TableBlock:
    """Lay out where each column goes."""
    rows = tuple((one.column, one.field, one.why) for one in guesses)
    note = "To change one: --map 'COLUMN=FIELD'. The book remembers it for these columns."
    return TableBlock("Columns", ("column", "goes to", "why"), rows, note)


def asker(
    bench: Bench, words: ShopWords, keep: Callable[[str, str], None]
) -> Callable[[str], bool]:
    """Give a function that asks what a word of the shop means, once for each, and keeps it."""
    asked: dict[str, bool] = {}

    def ask(word: str) -> bool:
        if word not in asked:
            asked[word] = False
            help_ = f"what does {word[:60]!r} say of a job"
            meaning = _answer(bench, Input("meaning", "choice", choices=MEANINGS, help=help_))
            if meaning:
                words.say(word, meaning)
                keep(word, meaning)
                asked[word] = True
        return asked[word]

    return ask


def _remembered(columns: Sequence[str], layout: Layout) -> list[Guess]:
    by_name = {folded(column): field for column, field in layout.fields.items()}
    found = []
    for column in columns:
        field = by_name.get(folded(column), NOTHING)
        private = field == NOTHING and looks_private(column)
        found.append(Guess(column, field, f"as the last time: {PRIVATE}" if private else AGAIN))
    return found


def _asked(bench: Bench, guesses: list[Guess]) -> list[Guess]:
    field = Input(
        "correction", "text", required=False, help="COLUMN=FIELD, or nothing where all is right"
    )
    while correction := _answer(bench, field):
        try:
            guesses = corrected(guesses, [correction])
        except JobError as error:
            bench.show([TableBlock("", ("not understood",), ((error.why,),))])
        bench.show([shown(guesses)])
    return guesses


def _key(
    bench: Bench,
    given: argparse.Namespace,
    guesses: Sequence[Guess],
    layout: Layout | None,
    *,
    ask: bool,
) -> tuple[str, ...]:
    columns = [one.column for one in guesses]
    if given.key:
        return tuple(column_called(one.strip(), columns) for one in given.key.split(","))
    if any(one.field == "number" for one in guesses):
        return ()
    if layout and layout.key:
        return layout.key
    help_ = "no column holds job numbers; which columns tell rows apart, with commas between"
    typed = _answer(bench, Input("key", "text", required=False, help=help_)) if ask else ""
    if typed:
        return tuple(column_called(one.strip(), columns) for one in typed.split(","))
    raise JobError(
        "no column holds job numbers, so a row could not be known again",
        hint="say --map 'COLUMN=number', or --key 'COLUMN,COLUMN' for what tells rows apart",
        input="key",
        choices=columns,
    )


def _with_words(bench: Bench, given: argparse.Namespace, memory: Memory) -> Memory:
    words, units = dict(memory.words), dict(memory.units)
    for text in given.word or ():
        word, meaning = _pair(text, "word")
        if meaning not in MEANINGS:
            near = did_you_mean(meaning, MEANINGS, otherwise=f"one of {', '.join(MEANINGS)}")
            raise JobError(
                f"{meaning!r} is no outcome and no stage; {near}",
                input="word",
                read=text,
                choices=close_matches(meaning, MEANINGS) or MEANINGS,
            )
        words[word] = meaning
    for text in given.unit or ():
        word, unit = _pair(text, "unit")
        units[word] = unit_id(bench, unit)
    return replace(memory, words=words, units=units)


def _pair(text: str, option: str) -> tuple[str, str]:
    word, equals, meaning = text.rpartition("=")
    if not equals or not word.strip():
        hint = f"write --{option} 'WORD=MEANING'"
        raise JobError(
            f"{text!r} says of no word what it means", input=option, read=text, hint=hint
        )
    return word.strip(), meaning.strip()


def _order(
    bench: Bench, column: str, sample: Sequence[Mapping[str, str]], said: bool | None
) -> bool:
    if said is not None:
        return said
    return order_of((row.get(column, "") for row in sample), day_first=bench.shop.day_first)


def _whole_numbers(fields: Mapping[str, str], sample: Sequence[Mapping[str, str]]) -> bool:
    """Say whether every job number is a whole one with a fraction, as some programs write them."""
    column = next((one for one, field in fields.items() if field == "number"), None)
    numbers = [row.get(column, "").strip() for row in sample] if column else []
    filled = [one for one in numbers if one]
    return bool(filled) and all(_FRACTION.fullmatch(one) for one in filled)


def _answer(bench: Bench, field: Input) -> str:
    """Ask for one thing; empty where nobody answers or can be asked."""
    try:
        return bench.ask([field]).get(field.name, "").strip()
    except CalculationError:
        return ""
