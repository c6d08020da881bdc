"""A vocabulary file to `Vocabulary`, every fault collected with its place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fixbook.core.fields import FieldReader
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Text, describe
from fixbook.core.schema import id_fault
from fixbook.core.vocabulary import NOT_SEEN, SEEN, Hazard, Sign, Unit, Vocabulary


def read_vocabulary(front: Fields, *, file: str) -> tuple[Vocabulary, list[Problem]]:
    """Type one vocabulary file; what is wrong is left out and reported."""
    problems: list[Problem] = []
    read = FieldReader(file, front, problems)
    vocabulary = Vocabulary(
        units={name: _unit(name, row) for name, row in _named(read, "units")},
        signs={
            name: sign
            for name, row in _named(read, "signs")
            if (sign := _sign(name, row)) is not None
        },
        hazards={name: _hazard(name, row) for name, row in _named(read, "hazards")},
        synonyms=_groups(read),
        one_way=_one_way(read),
        elsewhere=read.texts("elsewhere"),
    )
    read.unread()
    return vocabulary, sorted(problems)


def _named(read: FieldReader, field: str) -> Iterator[tuple[str, FieldReader]]:
    found = read.mapping(field)
    for name, value in found.fields.items() if found else ():
        key = found.keys[name] if found else value
        if fault := id_fault(name):
            read.fault(key, "id", f"{field}: {fault}", "give it another name")
        elif isinstance(value, Fields):
            row = FieldReader(read.file, value, read.problems, where=f"{field}.{name}")
            yield name, row
        else:
            read.fault(
                value,
                "wrong-shape",
                f"{field}.{name} is {describe(value)}",
                "expected a mapping of fields",
            )


def _unit(name: str, row: FieldReader) -> Unit:
    unit = Unit(
        name,
        row.text("name") or name.replace("-", " "),
        row.texts("aliases"),
        row.texts("contains"),
    )
    row.unread()
    return unit


def _hazard(name: str, row: FieldReader) -> Hazard:
    short = row.text("short", required=True)
    hazard = Hazard(name, short, row.text("full") or short)
    row.unread()
    return hazard


def _sign(name: str, row: FieldReader) -> Sign | None:
    answers = row.texts("answers") or (SEEN, NOT_SEEN)
    background = _background(row, answers)
    ask = row.text("ask", required=True)
    customer = row.choice("customer", ("true", "false"), "answer, true or false")
    sign = Sign(
        id=name,
        ask=ask,
        background=background or {},
        minutes=row.number("minutes", least=0.1, most=1000.0) or 1.0,
        hazards=row.texts("hazards"),
        customer=customer == "true",
        lay=row.texts("lay"),
        says_the_same_as=row.texts("says-the-same-as"),
    )
    row.unread()
    return sign if ask and background else None


def _background(row: FieldReader, answers: tuple[str, ...]) -> Mapping[str, float] | None:
    found = row.mapping("background")
    if found is None:
        if row.raw("background") is None:
            row.text("background", required=True)
        return None
    read = FieldReader(row.file, found, row.problems, where=row.name("background"))
    rates = {answer: read.number(answer, most=1.0) for answer in answers}
    read.unread()
    seen = rates.get(SEEN)
    if answers == (SEEN, NOT_SEEN) and seen is not None and rates[NOT_SEEN] is None:
        rates[NOT_SEEN] = round(1.0 - seen, 12)
    good = {answer: rate for answer, rate in rates.items() if rate is not None}
    if len(good) < len(answers) or abs(sum(good.values()) - 1.0) > 0.001:
        row.fault(
            found,
            "background",
            f"{row.name('background')} does not give each answer a rate that adds up to 1",
            f"give one to each of {', '.join(answers)}",
        )
        return None
    return good


def _groups(read: FieldReader) -> tuple[tuple[str, ...], ...]:
    found = read.raw("synonyms")
    if found is None:
        return ()
    groups = []
    for item in found.items if isinstance(found, Items) else [found]:
        texts = item.items if isinstance(item, Items) else ()
        words = tuple(word.text.strip() for word in texts if isinstance(word, Text))
        if len(words) < 2 or len(words) < len(texts) or not all(words):
            read.fault(
                item,
                "synonyms",
                f"synonyms holds {describe(item)}",
                "each group is a list of two or more words",
            )
        else:
            groups.append(words)
    return tuple(groups)


def _one_way(read: FieldReader) -> Mapping[str, tuple[str, ...]]:
    found = read.mapping("one-way")
    if found is None:
        return {}
    row = FieldReader(read.file, found, read.problems, where="one-way")
    return {word: row.texts(word) for word in found.fields}
