"""A write-up in the making: answers, and the text of the file that they make.

What was skipped becomes a gap: `# gap: …` behind an empty field, `(gap: …)` in the body, which
proofing lists until it is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from fixbook.core.front_emit import Plain, emit_field
from fixbook.core.page import FIELD_ORDER
from fixbook.core.problems import did_you_mean
from fixbook.core.prose import prose_lines
from fixbook.core.raw import Fields, Items, Raw
from fixbook.core.schema import TECHNIQUE
from fixbook.errors import QueryError

TEXTS = {
    "seen": ("How it shows", "how it shows, in the customer's words and in yours"),
    "found": ("Why it happens", "what was found, and why it fails"),
    "done": ("Step by step", "the steps, cautions first"),
    "proved": ("How to prove the repair", "which readings and tests show that it is mended"),
}
"""The texts of a body: heading, and what the gap asks for."""
GAPS = {
    "title": "how it shows, in one line",
    "unit": "the kind of apparatus, a word of the vocabulary",
    "section": "the block of the unit, such as supply or output stage",
    "signs": "what is seen, and how often",
    "hazards": "what can hurt; [] where nothing can",
    "skill": "no-soldering, through-hole, surface-mount or board-repair",
    "minutes": "how long it takes",
    "tools": "what it takes",
    "targets": "name, at, reads and window of what was measured; [] where nothing was",
    "parts": "at, is and value of what was replaced; [] where nothing was",
}
"""The fields that are asked for, with what their gap says."""
_LISTS = ("models", "lay", "hazards", "tools", "supplies", "targets", "parts", "opening", "also", "see",
          "sources", "aliases")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Draft:
    """The answers given so far."""

    front: Mapping[str, Plain] = field(default_factory=dict)
    """Fields of the front matter; one that is left out was not answered."""
    texts: Mapping[str, str] = field(default_factory=dict)
    """Texts of the body, by the names of TEXTS; steps stand on a line each."""
    job: str = ""
    """The number of the job it was learnt in."""

    def with_field(self, name: str, value: Plain) -> Draft:
        """Give the draft with one field answered; an empty text takes the answer back."""
        left = {key: old for key, old in self.front.items() if key != name}
        return replace(self, front=left if value == "" else {**left, name: value})

    def with_text(self, name: str, text: str) -> Draft:
        """Give the draft with one text of the body answered."""
        left = {key: old for key, old in self.texts.items() if key != name}
        return replace(self, texts={**left, name: text} if text.strip() else left)

    def text(self, name: str) -> str:
        """Give a field that is one text; empty where it was not answered."""
        value = self.front.get(name)
        return value if isinstance(value, str) else ""

    def items(self, name: str) -> tuple[str, ...]:
        """Give a field that is a list of texts."""
        value = self.front.get(name)
        return tuple(str(one) for one in value) if isinstance(value, (list, tuple)) else ()

    def to_json(self) -> dict[str, object]:
        """Give the shape that `write --from FILE` reads."""
        job = {"job": self.job} if self.job else {}
        return {**self.front, **self.texts, **job}


def draft_from_json(data: object) -> Draft:
    """Read what `to_json` gives, or a person wrote; QueryError where it is something else."""
    if not isinstance(data, Mapping):
        raise QueryError(
            'a write-up is an object of fields, as in {"unit": "power-amplifier", ...}',
            input="--from",
        )
    draft = Draft()
    known = (*FIELD_ORDER, *TEXTS, "job")
    for name, value in data.items():
        if name not in known:
            hint = did_you_mean(str(name), known, otherwise=f"known: {', '.join(known)}")
            raise QueryError(f"{name!r} is no field of a write-up; {hint}", input="--from",
                             read=str(name))  # fmt: skip
        if name == "job":
            draft = replace(draft, job=str(value or ""))
        elif name in TEXTS:
            lines = value if isinstance(value, (list, tuple)) else [value or ""]
            draft = draft.with_text(name, "\n".join(str(one) for one in lines))
        else:
            draft = draft.with_field(name, _plain(name, value, 0))
    return draft


def front_from_raw(front: Fields, names: Iterable[str]) -> dict[str, Plain]:
    """Give fields of another write-up as plain values, those that are filled in."""
    return {name: value for name in names if (value := _of_raw(front.fields.get(name)))}


def draft_text(draft: Draft, today: str) -> str:
    """Write the file that the answers make, its gaps marked."""
    said = {name: value for name, value in draft.front.items() if value not in (None, "")}
    wanted: dict[str, Plain] = {"state": "written", "revised": today, **said}
    if draft.text("unit") == TECHNIQUE:
        wanted.setdefault("kind", TECHNIQUE)
    if draft.text("kind") == TECHNIQUE:
        wanted.setdefault("unit", TECHNIQUE)
    wanted.setdefault("kind", "fault")
    lines = []
    for name in FIELD_ORDER:
        if name in wanted:
            lines.append(emit_field(name, wanted[name]))
        elif name in GAPS and not (wanted["kind"] == TECHNIQUE and name in ("signs", "parts")):
            lines.append(emit_field(name, None, comment=f"gap: {GAPS[name]}"))
    return f"---\n{''.join(lines)}---\n{draft_body(draft)}"


def draft_body(draft: Draft) -> str:
    """Write the body that the answers make."""
    parts = []
    for name, (heading, gap) in TEXTS.items():
        text = draft.texts.get(name, "")
        if not text.strip():
            laid = f"1. (gap: {gap})" if name == "done" else f"(gap: {gap})"
        else:
            laid = _steps(text) if name == "done" else prose_lines(text)
        parts.append(f"\n## {heading}\n\n{laid}\n")
    if draft.job:
        parts.append(f"\nLearnt in [job {draft.job}](job:{_quoted(draft.job)}).\n")
    return "".join(parts)


def _steps(text: str) -> str:
    lines = [line.strip() for line in text.split("\n") if line.strip()]
    return "\n".join(
        f"{number}. {prose_lines(_unnumbered(line), indent='   ')}"
        for number, line in enumerate(lines, 1)
    )


def _unnumbered(line: str) -> str:
    number, dot, rest = line.partition(". ")
    return rest.strip() if dot and number.isascii() and number.isdigit() and rest.strip() else line


def _quoted(number: str) -> str:
    from urllib.parse import quote

    return quote(number, safe="")


def _plain(name: str, value: object, depth: int) -> Plain:
    if value is None:
        return [] if name in _LISTS else None
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (str, int)):
        return value
    if isinstance(value, float):
        return repr(value)
    if depth < 4 and isinstance(value, (list, tuple)):
        return [_plain("", one, depth + 1) for one in value]
    if depth < 4 and isinstance(value, Mapping):
        return {str(key): _plain("", one, depth + 1) for key, one in value.items()}
    raise QueryError(f"{name} holds something that no write-up can hold", input="--from")


def _of_raw(raw: Raw | None) -> Plain:
    if isinstance(raw, Fields):
        return {name: _of_raw(value) for name, value in raw.fields.items()}
    if isinstance(raw, Items):
        return [_of_raw(item) for item in raw.items]
    return raw.text if raw is not None else None
