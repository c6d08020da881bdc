"""Signs that no one could tell: words of the vocabulary that cannot be asked or answered."""

from __future__ import annotations

from collections.abc import Iterator

from fixbook.core.page import Page
from fixbook.core.problems import Problem
from fixbook.core.raw import Fields
from fixbook.core.vocabulary import Sign, Vocabulary, likelihoods

ALWAYS_THE_SAME = 0.99
"""A sign with an answer at this rate tells nothing: everybody gives it."""
NOTHING = 0.02
"""Less than this between a fault and its background is no difference."""
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


def idle_signs(page: Page, vocabulary: Vocabulary) -> Iterator[Problem]:
    """Report signs of a write-up that say of this fault what is true of every unit."""
    for name in page.entry.signs:
        sign = vocabulary.signs.get(name)
        if sign is None:
            continue
        here = likelihoods(page.entry, sign)
        if all(abs(here[answer] - rate) < NOTHING for answer, rate in sign.background.items()):
            yield page.fault(
                RULE,
                f"the sign {name} tells nothing here: its answers are as on any other unit",
                "mend how often it is seen, or take it out",
                "signs",
                name,
            )
