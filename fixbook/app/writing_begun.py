"""What a write-up begins with: a past job, a write-up like it, the nearest ones in the book."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from fixbook.app.bench import LibraryBench, unknown_entry
from fixbook.app.library import Library
from fixbook.core.draft import Draft, front_from_raw
from fixbook.core.front_emit import Plain
from fixbook.core.plugins import JobFacts, Measurement
from fixbook.core.prose import sentences
from fixbook.core.query import Hit
from fixbook.core.vocabulary import NOT_SEEN, SEEN
from fixbook.errors import QueryError
from fixbook.store.document import read_document
from fixbook.store.folder import read_file

LIKE = ("unit", "section", "models", "signs", "hazards", "skill", "tools", "supplies", "opening",
        "see")  # fmt: skip
"""What a write-up takes over from one like it; what was found and measured is its own."""


@dataclass(frozen=True, slots=True)
class Near:
    """A write-up that is already there and looks like the one being written."""

    id: str
    title: str
    unit: str
    why: tuple[str, ...]


def from_job(library: Library, number: str) -> tuple[Draft, tuple[str, ...]]:
    """Begin a draft from a past job; also the ids of the write-ups that the job is linked to.

    QueryError where no plugin has such a job; what the plugin raises with words passes through.
    """
    facts = LibraryBench(library).job_facts(number)
    if facts is None:
        raise QueryError(
            f"there is no job {number!r}", input="--from-job", read=number,
            hint="'fixbook job list' shows the jobs of this book",
        )  # fmt: skip
    draft = replace(Draft(_front(facts, library)), job=number)
    draft = draft.with_text("seen", facts.complaint).with_text("done", sentences(facts.work))
    return draft.with_text("proved", facts.proved), facts.faults


def from_entry(library: Library, id: str) -> Draft:
    """Begin a draft from a write-up like it; UnknownEntryError where there is none."""
    filed = library.find(id)
    if filed is None:
        raise unknown_entry(library, id)
    text, _ = read_file(filed.shelf.root, filed.path, shown=filed.shelf.shown)
    front = read_document(text, filed.file).front
    taken = front_from_raw(front, LIKE) if front else {}
    kind: dict[str, Plain] = {} if filed.entry.kind == "fault" else {"kind": filed.entry.kind}
    return Draft({**kind, **taken})


def laid_over(first: Draft, second: Draft) -> Draft:
    """Join two drafts; what both answer is the second's, save that both lists of signs count."""
    front = {**first.front, **second.front}
    one, other = first.front.get("signs"), second.front.get("signs")
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        front["signs"] = {**one, **other}
    return Draft(front, {**first.texts, **second.texts}, second.job or first.job)


def nearest(library: Library, draft: Draft, *, most: int = 3) -> list[Near]:
    """Give the write-ups in the book that are nearest to a draft, those of its unit first."""
    from fixbook.app.finding import find
    from fixbook.app.indexing import BookIndex

    words = " ".join([draft.text("title"), *_asked_words(library, draft)])
    if not words.strip():
        return []
    unit = draft.text("unit")
    wanted = {"unit": [unit]} if unit in library.vocabulary.units else {}
    found = find(library, BookIndex(library), words, wanted, limit=most)
    # A draft has more words than any question, so a hit is weak though it matches several.
    return [_near(hit) for hit in found.hits if not found.weak or len(hit.why) > 1]


def customer_words(library: Library, draft_signs: Iterable[str], title: str, seen: str) -> str:
    """Give words in which a customer would ask for a write-up."""
    first = next((line for line in seen.split("\n") if line.strip() and "(gap:" not in line), "")
    if first:
        return " ".join(first.split()[:8])[:80]
    for name in draft_signs:
        sign = library.vocabulary.signs.get(name)
        if sign and sign.lay:
            return sign.lay[0]
    return title


def _asked_words(library: Library, draft: Draft) -> list[str]:
    signs = draft.front.get("signs")
    named = [library.vocabulary.signs.get(one) for one in signs] if isinstance(signs, dict) else []
    wordings = [one.lay[0] if one.lay else one.id.replace("-", " ") for one in named if one]
    return [*wordings, *(draft.texts.get(name, "") for name in ("seen", "found"))]


def _near(hit: Hit) -> Near:
    shown = hit.shown
    return Near(shown.get("id", ""), shown.get("title", ""), shown.get("unit", ""), tuple(hit.why))


def _front(facts: JobFacts, library: Library) -> dict[str, Plain]:
    front: dict[str, Plain] = {}
    if facts.unit in library.vocabulary.units:
        front["unit"] = facts.unit
    if facts.model:
        front["models"] = [facts.model]
    signs = _signs(facts, library)
    if signs:
        front["signs"] = signs
    if facts.minutes:
        front["minutes"] = facts.minutes
    if facts.parts:
        front["parts"] = [
            {
                "at": part.at or "as found",
                "is": part.is_,
                **({"value": part.value} if part.value else {}),
                **({"count": part.count} if part.count != 1 else {}),
            }
            for part in facts.parts
        ]
    if facts.measured:
        front["targets"] = [_target(one) for one in facts.measured]
    return front


def _signs(facts: JobFacts, library: Library) -> dict[str, Plain]:
    """Give the signs that the job's unit showed, as seen usually: one job is no always."""
    signs: dict[str, Plain] = {}
    for name, answer in facts.signs.items():
        sign = library.vocabulary.signs.get(name)
        if sign is None or answer in (NOT_SEEN, "none") or answer not in sign.answers:
            continue
        signs[name] = "usually" if answer == SEEN else {answer: "usually"}
    return signs


def _target(one: Measurement) -> dict[str, Plain]:
    """Give a reading of a job as the beginning of a target; its window is the writer's to say."""
    before = f"read {one.before} before the repair" if one.before else ""
    after = f"{one.after} after it" if one.after else ""
    said = " and ".join(text for text in (before, after) if text)
    return {"name": one.name, "note": f"in one job: {said}"} if said else {"name": one.name}
