"""Values typed in order that do not fit their inputs: the order, and the same values by name."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from fixbook.core.calculator import Calculator
from fixbook.core.inputs import Input
from fixbook.core.typed_input import is_read

_TELLING = ("quantity", "measured", "range", "tolerance", "choice", "flag")
"""Forms that do not take just any text."""


def order_hint(
    calculator: Calculator, given: Mapping[str, Sequence[str]], named: Collection[str]
) -> str:
    """Say in which order values are taken, and how these are given by name.

    `given` are the texts of each input, `named` the inputs that were given by name.
    """
    placed = {name: texts for name, texts in given.items() if name not in named}
    texts = [text for some in placed.values() for text in some]
    names = _names(texts, [one for one in calculator.inputs if one.name not in named])
    told = {*placed, *names} | {one.name for one in calculator.inputs if one.required}
    order = [one.name for one in calculator.inputs]
    last = max(order.index(name) for name in told)
    more = " ..." if order[last + 1 :] else ""
    pairs = [f"{name}={_word(text)}" for name, text in zip(names, texts, strict=False)]
    by_name = " ".join(pairs) or f"{order[0]}=…"
    return f"in order: {' '.join(order[: last + 1])}{more}; or name them: {by_name}"


def _names(texts: Sequence[str], free: Sequence[Input]) -> list[str]:
    """Give each text the first input it can be read as, the choosiest text first; empty: none."""
    fits = [
        [one.name for one in free if one.form in _TELLING and is_read(one, text)] for text in texts
    ]
    names = [""] * len(texts)
    for at in sorted(range(len(texts)), key=lambda at: len(fits[at])):
        names[at] = next((name for name in fits[at] if name not in names), "")
    return names if all(names) else []


def _word(text: str) -> str:
    return f"'{text}'" if " " in text else text
