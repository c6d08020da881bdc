"""Reading the vocabulary files of a book, and keeping what was read in a small JSON file."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from fixbook.core.problems import Problem
from fixbook.core.sheet import plain
from fixbook.core.vocabulary import Hazard, Sign, Unit, Vocabulary, merge
from fixbook.core.vocabulary_schema import read_vocabulary
from fixbook.store.document import compose
from fixbook.store.folder import Listing, read_file


def read_words(listing: Listing, *, shown: str) -> tuple[Vocabulary, list[Problem]]:
    """Read all vocabulary files of one folder; two that define one word are reported."""
    parts = []
    problems: list[Problem] = []
    owners: dict[str, str] = {}
    for path in listing.vocabulary:
        file = f"{shown}/{path}"
        text, faults = read_file(listing.root, path, shown=shown)
        problems += faults
        if faults:
            continue
        front, faults = compose(text, file)
        problems += faults
        if front is None:
            continue
        part, faults = read_vocabulary(front, file=file)
        problems += faults + _twice(part, file, owners)
        parts.append(part)
    return merge(parts), problems


def unknown_references(vocabulary: Vocabulary, shown: str) -> list[Problem]:
    """Report units, signs and hazards that are named by the vocabulary and nowhere defined."""
    from fixbook.core.meant import meant  # a search, which only loads words, never pays for it

    problems = []
    named: list[tuple[str, str, Iterable[str], Mapping[str, object]]] = []
    for unit in vocabulary.units.values():
        named.append((f"units.{unit.id}.contains", "unit", unit.contains, vocabulary.units))
    for sign in vocabulary.signs.values():
        said = sign.says_the_same_as
        named.append((f"signs.{sign.id}.says-the-same-as", "sign", said, vocabulary.signs))
        named.append((f"signs.{sign.id}.hazards", "hazard", sign.hazards, vocabulary.hazards))
    for where, what, words, known in named:
        problems += [
            Problem(
                shown, 1, 1, f"unknown-{what}", f"{where}: {word!r} is no {what} that is known",
                meant(word, known, f"{what}s") + ", or define it",
            )
            for word in words
            if word not in known
        ]  # fmt: skip
    return problems


def dump(vocabulary: Vocabulary) -> str:
    """Write a vocabulary as JSON; `load` gives it back."""
    return json.dumps(plain(vocabulary), ensure_ascii=False, separators=(",", ":"))


def load(text: str) -> Vocabulary:
    """Read what `dump` wrote; ValueError where it is something else."""
    try:
        data: Any = json.loads(text)
        return Vocabulary(
            units={key: Unit(**_tuples(row)) for key, row in data["units"].items()},
            signs={key: Sign(**_tuples(row)) for key, row in data["signs"].items()},
            hazards={key: Hazard(**row) for key, row in data["hazards"].items()},
            synonyms=tuple(tuple(group) for group in data["synonyms"]),
            one_way={key: tuple(words) for key, words in data["one_way"].items()},
            elsewhere=tuple(data["elsewhere"]),
        )
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("not a vocabulary") from error


def _tuples(row: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in row.items()}


def _twice(part: Vocabulary, file: str, owners: dict[str, str]) -> list[Problem]:
    problems = []
    for what, words in (("unit", part.units), ("sign", part.signs), ("hazard", part.hazards)):
        for word in words:
            first = owners.setdefault(f"{what} {word}", file)
            if first != file:
                problems.append(
                    Problem(
                        file, 1, 1, "defined-twice", f"the {what} {word!r} is defined twice",
                        f"keep one of them; the first is in {Path(first).name}",
                    )
                )  # fmt: skip
    return problems
