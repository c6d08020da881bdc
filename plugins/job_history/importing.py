"""`fixbook job import`: bring in a shop's existing history."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, islice

from fixbook.api import (
    Bench,
    Block,
    JobSource,
    PanelBlock,
    StepsBlock,
    TableBlock,
    TextBlock,
    UnreadableRow,
)

from .bringing import Jobs, Nowhere, Numbered, Report, bring
from .columns import NOTHING
from .errors import JobError
from .import_memory import load, save
from .import_place import Place, place_of
from .import_plan import Agreed, agree, asker
from .rejected import CLASH, OWN, WHY, Rejected
from .row_jobs import RowReader
from .store import open_store

SAMPLE = 1_000
"""Rows that are looked at before the columns are guessed."""
MOST_SHOWN = 8
"""Reasons, and words nobody explained, that are shown; the file of rejected rows has them all."""


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Bring a history in; 0 where any row could be read, 1 where none could."""
    with open_store(bench) as store:
        place = place_of(bench, given)
        rows = numbered(place)
        first = list(islice(rows, SAMPLE))
        columns, sample = _columns(first, place)
        agreed = agree(bench, given, columns=columns, sample=sample, memory=load(bench.folder))
        if not given.trial:
            save(bench.folder, agreed.memory)
        reader = _reader(bench, given, agreed, place.name)
        kept = [one.column for one in agreed.guesses if one.field != NOTHING]
        kept += [one for one in agreed.plan.key if one not in kept]
        with Rejected(place.folders, place.kept_as, kept) as rejected:
            report = bring(
                bench,
                chain(first, rows),
                reader=reader,
                target=Nowhere(store) if given.trial else Jobs(store),
                rejected=rejected,
            )
            file = "" if given.trial else rejected.finish()
    if given.json:
        print(json.dumps(as_json(place, agreed, reader, report, file=file, trial=given.trial)))
    else:
        bench.show(blocks(place, reader, report, file=file, trial=given.trial))
    return 0 if report.rows > report.rejected or not report.rows else 1


def numbered(place: Place) -> Iterator[Numbered]:
    """Give a history's rows with their numbers, without what an earlier import added to them."""
    for number, row in enumerate(_rows(place.source, place), place.source.first_row):
        if isinstance(row, UnreadableRow):
            yield Numbered(number, row)
            continue
        own = {name: text for name, text in row.items() if not name.startswith(OWN)}
        filled = any(text.strip() for text in own.values())
        yield Numbered(number, own if filled else {}, CLASH in row.get(WHY, ""))


def blocks(
    place: Place, reader: RowReader, report: Report, *, file: str, trial: bool
) -> list[Block]:
    """Lay out what was done."""
    values = {
        "rows": f"{report.rows:,}",
        "new": f"{report.added:,}",
        "changed": f"{report.changed:,}",
        "as they were": f"{report.same:,}",
        "could not be read": f"{report.rejected:,}",
    }
    note = "A trial: nothing was written." if trial else ""
    found: list[Block] = [PanelBlock(f"Brought in from {place.name}", values, note)]
    if report.reasons:
        first = tuple(
            (_rows_named(report.first_rows[why], report.reasons[why]), why)
            for _, why in _most(report.reasons)
        )
        note = f"Every such row is in {file}: mend it there, and import that file." if file else ""
        found.append(TableBlock("Rows that could not be read", ("row", "why"), first, note))
    if reader.words.unknown:
        steps = [f"--word '{word}=OUTCOME' ({rows} row{'' if rows == '1' else 's'})" for rows, word in
                 _most(reader.words.unknown)]  # fmt: skip
        found.append(StepsBlock("Say once what these words mean, and run it again", tuple(steps)))
    if reader.words.unknown_units:
        said = ", ".join(f"{word} ({rows})" for rows, word in _most(reader.words.unknown_units))
        text = f"{said}. They are kept as written; --unit 'WORD=UNIT' says once what one means."
        found.append(TextBlock("Units that the book does not know", text))
    if reader.contacts:
        text = f"{reader.contacts:,} mail addresses and telephone numbers in texts were left out."
        found.append(TextBlock("Customers", text))
    if report.new_columns:
        text = f"{', '.join(report.new_columns)}: they came after the first rows and were left out."
        found.append(TextBlock("Columns", text))
    if report.added and not trial:
        text = "'fixbook job suggest --all' finds write-ups that they may belong to."
        found.append(TextBlock("Next", text))
    return found


def as_json(
    place: Place, agreed: Agreed, reader: RowReader, report: Report, *, file: str, trial: bool
) -> dict[str, object]:
    """Give what was done as plain values."""
    return {
        "source": place.name,
        "read_as": place.source.name,
        "trial": trial,
        "columns": [
            {"column": one.column, "field": one.field, "why": one.why} for one in agreed.guesses
        ],
        "key": list(agreed.plan.key),
        "rows": report.rows,
        "added": report.added,
        "changed": report.changed,
        "same": report.same,
        "rejected": report.rejected,
        "rejected_file": file or None,
        "reasons": [
            {"why": why, "rows": rows, "first_rows": report.first_rows[why]}
            for why, rows in report.reasons.items()
        ],
        "unknown_words": reader.words.unknown,
        "unknown_units": reader.words.unknown_units,
        "contacts_left_out": reader.contacts,
        "later_columns": list(report.new_columns),
    }


def _reader(bench: Bench, given: argparse.Namespace, agreed: Agreed, name: str) -> RowReader:
    words = agreed.words
    if given.json or given.yes:
        return RowReader(bench, agreed.plan, words, name=name)
    memory = agreed.memory

    def keep(word: str, meaning: str) -> None:
        nonlocal memory
        memory = replace(memory, words={**memory.words, word: meaning})
        if not given.trial:
            save(bench.folder, memory)

    return RowReader(bench, agreed.plan, words, asker(bench, words, keep), name=name)


def _rows(source: JobSource, place: Place) -> Iterable[Mapping[str, str] | UnreadableRow]:
    return source.rows(place.address, place.options)


def _columns(first: Sequence[Numbered], place: Place) -> tuple[list[str], list[Mapping[str, str]]]:
    sample = [one.row for one in first if one.row and not isinstance(one.row, UnreadableRow)]
    columns = list(dict.fromkeys(column for row in sample for column in row))
    if not columns:
        found = [one.row for one in first if isinstance(one.row, UnreadableRow)]
        why = f"no row can be read: {found[0].why}" if found else "there is not one row"
        raise JobError(f"{place.name}: {why}", input="FILE", read=place.name)
    return columns, sample


def _rows_named(first: Sequence[int], count: int) -> str:
    """Name the first rows and say how many more there are: `3, 8, 12 and 5 more`."""
    more = count - len(first)
    return ", ".join(str(one) for one in first) + (f" and {more:,} more" if more else "")


def _most(counts: Mapping[str, int]) -> tuple[tuple[str, str], ...]:
    """Give the most frequent of what was counted, with the counts in front as text."""
    ordered = sorted(counts.items(), key=lambda one: -one[1])
    return tuple((f"{count:,}", what) for what, count in ordered[:MOST_SHOWN])
