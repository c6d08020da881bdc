"""What is said of a part from the drawer: a verdict, and the rules behind it."""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.api import Verdict

from .stock import Item

SAME, STAND_IN = "same", "stand-in"


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
    def why(self) -> str:
        """The reasons that decided, in a line."""
        deciding = [one for one in self.reasons if one.verdict == self.verdict]
        return "; ".join(f"{one.rule}: {one.why}" for one in deciding)
