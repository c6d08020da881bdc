"""What is said of a part from the drawer: a verdict, and the rules behind it."""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.api import Verdict

from .stock import Item

SAME, STAND_IN = "same", "stand-in"
BY_EYE = ("size", "pitch")
"""Rules that whoever has the part in the hand can answer with a ruler."""


@dataclass(frozen=True, slots=True)
class Reason:
    """What one rule says of a part from the drawer."""

    rule: str
    verdict: Verdict
    why: str
    by: str = ""
    """The calculator that says so; empty: the comparison of what is written."""


@dataclass(frozen=True, slots=True)
class Judged:
    """An item of the stock list held against what is wanted."""

    item: Item
    how: str
    """SAME or STAND_IN."""
    verdict: Verdict
    reasons: tuple[Reason, ...]

    @property
    def to_measure(self) -> bool:
        """Whether nothing but a ruler is wanted to say that it will do."""
        open_ = [one.rule for one in self.reasons if one.verdict == "cannot tell"]
        return self.verdict == "cannot tell" and set(open_) <= set(BY_EYE)

    @property
    def why(self) -> str:
        """The reasons that decided, in a line."""
        deciding = [one for one in self.reasons if one.verdict == self.verdict]
        return "; ".join(f"{one.rule}: {one.why}" for one in deciding)
