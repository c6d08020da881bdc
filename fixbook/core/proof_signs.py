"""Signs that no one could tell: words of the vocabulary that cannot be asked or answered."""

from __future__ import annotations

from collections.abc import Iterator

from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items
from fixbook.core.vocabulary import Sign, Vocabulary

ALWAYS_THE_SAME = 0.99
"""A sign with an answer at this rate tells nothing: everybody gives it."""
RULE = "sign-untold"


def untold_signs(file: str, front: Fields, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Report the signs of one vocabulary file that nobody could answer, and why."""
    found = front.fields.get("signs")
    if not isinstance(found, Fields):
        return
    for name, key in found.keys.items():
        sign = vocabulary.signs.get(name)
        why = _untold(sign) if sign else None
        if why:
            what = f"no one could tell the sign {name}: {why[0]}"
            yield Problem(file, key.line, key.column, RULE, what, why[1])


def _untold(sign: Sign) -> tuple[str, str] | None:
    if len(sign.ask.split()) < 3 or not sign.ask.rstrip().endswith("?"):
        return f"{sign.ask!r} is no question", "ask for something that can be observed"
    if len(sign.answers) < 2:
        return "it has one answer", "give it the answers that can be told from each other"
    if max(sign.background.values()) > ALWAYS_THE_SAME:
        return "nearly every unit gives the same answer", "mend its background, or take it out"
    if sign.customer and not sign.lay:
        return "a customer is asked it, and no wording of theirs is known", "add lay: [...]"
    return None


def signless(page: Page) -> Iterator[Problem]:
    """Report a fault that names no sign: nobody could tell that it is this one."""
    entry = page.entry
    if entry.kind == "fault" and not entry.signs and not page.has("signs"):
        what = "no sign is named, so no one could tell this fault from another"
        yield page.fault(RULE, what, "add signs: with what is seen, and how often", "unit")
    elif entry.kind == "fault" and not entry.signs and not _holds(page):
        what = "signs is empty, so no one could tell this fault from another"
        yield page.fault(RULE, what, "name what is seen, and how often", "signs")


def _holds(page: Page) -> bool:
    """Say whether signs holds anything: what could not be read is reported by the schema."""
    found = page.front.fields.get("signs")
    return bool(found.fields) if isinstance(found, Fields) else isinstance(found, Items)
