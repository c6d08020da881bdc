"""Finding write-ups: what was asked, checked against the vocabulary, and the answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from fixbook.app.facets import FACETS, model_key
from fixbook.app.indexing import BookIndex
from fixbook.app.library import Library
from fixbook.core.query import NO_VALUE, Filter, Findings, Gain, Request
from fixbook.errors import QueryError

if TYPE_CHECKING:
    from fixbook.core.vocabulary import Vocabulary

UNCHECKED = ("section", "model")
"""Facets of free text: any value may be asked for."""


def find(
    library: Library,
    index: BookIndex,
    words: str,
    wanted: Mapping[str, Sequence[str]],
    *,
    limit: int = 10,
    explain: bool = False,
) -> Findings:
    """Answer a search; QueryError where an option names nothing the book knows.

    `wanted` maps facets to the values asked for. Several units, sections, kinds, skills, states
    or models mean any of them; several hazards or signs mean all of them.
    """
    index.refresh()  # first: it says which kinds of document plugins add
    filters = filters_for(library.vocabulary if wanted else None, wanted, index.extra_kinds)
    findings = index.search(Request(words, filters, limit, explain=explain))
    notes = [*findings.notes, *index.notes]
    if words.strip() and not findings.searched:
        notes.insert(
            0, f"no word to search was found in {words.strip()[:60]!r}: nothing is left out"
        )
    if not findings.total:
        notes += _free_text_hints(index, wanted)
    faulty, lost = index.faults()
    if faulty:
        some = f"{faulty} write-up{'s have' if faulty > 1 else ' has'} faults"
        missing = f", {lost} of them cannot be found" if lost else ""
        notes.append(f"{some}{missing}: 'fixbook proof' says which")
    return findings._replace(notes=tuple(notes))


def findings_to_json(findings: Findings) -> dict[str, object]:
    """Give the shape of `find --json`."""
    return {
        "query": findings.query,
        "searched": findings.searched,
        "mended": dict(findings.mended),
        "weak": findings.weak,
        "total": findings.total,
        "hits": [
            {
                **{name: hit.shown.get(name, "") for name in _SHOWN},
                "score": round(hit.score, 6),
                "why": list(hit.why),
                "snippet": hit.snippet,
                **({"gains": [_gain(gain) for gain in hit.gains]} if hit.gains else {}),
            }
            for hit in findings.hits
        ],
        "facets": {
            name: [list(pair) for pair in findings.facets.get(name, ())]
            for name in dict.fromkeys((*FACETS, *findings.facets))
        },
        "notes": list(findings.notes),
    }


def _gain(gain: Gain) -> dict[str, object]:
    numbers = {"worth": round(gain.worth, 6), "share": round(gain.share, 6)}
    return {"words": gain.text, "parts": list(gain.parts), **numbers}


_SHOWN = ("id", "kind", "title", "unit", "section", "state")


def filters_for(
    vocabulary: Vocabulary | None, wanted: Mapping[str, Sequence[str]], extra_kinds: Sequence[str]
) -> tuple[Filter, ...]:
    """Give the filters that mean what is wanted; QueryError where it names nothing known.

    The vocabulary may be left out where nothing is wanted.
    """
    return tuple(_filters(vocabulary, wanted, extra_kinds))


def _filters(
    vocabulary: Vocabulary | None, wanted: Mapping[str, Sequence[str]], extra_kinds: Sequence[str]
) -> Iterable[Filter]:
    if extra_kinds and not wanted.get("kind"):
        yield Filter("kind", frozenset(("fault", "technique")))
    if not wanted or vocabulary is None:
        return
    from fixbook.core.entry import KINDS, SKILLS, STATES

    known: dict[str, Iterable[str]] = {
        "hazard": vocabulary.hazards,
        "sign": vocabulary.signs,
        "kind": (*KINDS, *extra_kinds),
        "skill": SKILLS,
        "state": STATES,
    }
    for name, values in wanted.items():
        if name == "unit":
            units = [_unit(vocabulary, value) for value in values]
            inside = [one for unit in units for one in vocabulary.unit_and_contents(unit)]
            yield Filter(name, frozenset(inside))
        elif name == "model":
            keys = {model_key(value) for value in values}
            yield Filter(name, frozenset({*keys, NO_VALUE}))
        elif name in UNCHECKED:
            yield Filter(name, frozenset(values))
        else:
            checked = [_known(name, value, known.get(name, ()), vocabulary) for value in values]
            together = name in ("hazard", "sign")
            for group in ([one] for one in checked) if together else [checked]:
                yield Filter(name, frozenset(group))


def _unit(vocabulary: Vocabulary, typed: str) -> str:
    return vocabulary.unit_named(typed) or _known("unit", typed, vocabulary.units)


def _known(
    name: str, value: str, known: Iterable[str], vocabulary: Vocabulary | None = None
) -> str:
    from fixbook.core.meant import FEW, all_of, near_signs
    from fixbook.core.problems import asked, close_matches

    names = list(known)
    typed = value.strip().lower().replace(" ", "-")
    if typed in names:
        return typed
    signs = vocabulary if name == "sign" else None
    near = near_signs(typed, signs) if signs is not None else close_matches(typed, names)
    raise QueryError(
        f"there is no {name} {value!r}; {asked(near, all_of(names, f'{name}s'))}",
        input=f"--{name}",
        read=value,
        choices=near or (names if len(names) <= FEW else ()),
    )


def _free_text_hints(index: BookIndex, wanted: Mapping[str, Sequence[str]]) -> list[str]:
    if not any(wanted.get(name) for name in UNCHECKED):
        return []
    from fixbook.core.problems import did_you_mean

    everything = index.search(Request("", (), 0)).facets
    hints = []
    for name in UNCHECKED:
        known = [value for value, _ in everything.get(name, ())]
        for value in wanted.get(name, ()):
            if name == "section" and value not in known:
                near = did_you_mean(value, known, otherwise="leave the option out")
                hints.append(f"no write-up has the section {value!r}; {near}")
    return hints
