"""Looking ahead: play a few near rivals out to the end, and see which gets to the sheet soonest.

Bits per minute looks one check ahead. Two checks that tell little apart can settle a case
together, and a quick check that splits the faults badly can cost a slow one afterwards. Where few
faults and checks are left, every answer's sequel is followed, each step chosen by bits per
minute, down to the sheets that would be opened in vain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .arithmetic import chance, information, shares
from .belief import Belief
from .choosing import SURE, Check, rank
from .model import Question

MOST_WORK = 300
"""So many faults times checks are played out; with more, bits per minute decide alone."""
MOST_RIVALS = 3
LIVE = 0.002
"""Faults less likely than this are left out of the play."""
LEAST_TOLD = 0.005
"""Checks that tell less than this are left out of the play."""
UNLIKELY = 0.1
"""Sequels less likely than this are not followed to their end."""
GUESS = 1.5
"""What is taken for a sequel that is not followed, in times of its next check: a rough figure,
no source; the choice hardly depends on it."""
SHEET_MINUTES = 45.0
"""For a write-up that does not say how long it takes."""

Chances = tuple[float, ...]


def play_out(belief: Belief, checks: Sequence[Check], rivals: Sequence[Check]) -> Check:
    """Give the rival with the least expected time to the right sheet; the first where too many
    faults and checks are left to play it out."""
    rivals = rivals[:MOST_RIVALS]
    live = [at for at, one in enumerate(belief.chances) if one >= LIVE]
    telling = [check for check in checks if check.gain >= LEAST_TOLD]
    if len(rivals) < 2 or len(live) * len(telling) > MOST_WORK:
        return rivals[0]
    game = _Game(belief, live)
    open_questions = {check.question.id: game.cut(check.question) for check in telling}
    chances = shares([belief.chances[at] for at in live])
    expected = [
        game.minutes_with(open_questions[check.question.id], chances, open_questions, 1.0)
        for check in rivals
    ]
    return rivals[expected.index(min(expected))]


class _Game:
    """The hypotheses that are left, with the minutes of their sheets."""

    def __init__(self, belief: Belief, live: Sequence[int]) -> None:
        faults = belief.model.faults
        self.live = live
        self.sheets = [
            (faults[at].minutes or SHEET_MINUTES) if at < len(faults) else 0.0 for at in live
        ]

    def cut(self, question: Question) -> Question:
        """Give a question for the live hypotheses alone."""
        table = tuple(tuple(row[at] for at in self.live) for row in question.table)
        return replace(question, table=table, doubt=tuple(question.doubt[at] for at in self.live))

    def minutes_with(
        self, question: Question, chances: Chances, left: dict[str, Question], path: float
    ) -> float:
        """Give the expected minutes when this question is taken next."""
        closed = question.same | {question.id}
        left = {name: one for name, one in left.items() if name not in closed}
        expected = question.sign.minutes
        for row in question.table:
            likely = chance(chances, row)
            after = tuple(a * b / likely for a, b in zip(chances, row, strict=True))
            expected += likely * self._minutes(after, left, path * likely)
        return expected

    def _minutes(self, chances: Chances, left: dict[str, Question], path: float) -> float:
        if max(chances) >= SURE:
            return self._in_vain(chances)
        checks = (Check(one, information(chances, one.table, one.doubt)) for one in left.values())
        offered = rank(checks)
        if not offered:
            return self._in_vain(chances)
        if path < UNLIKELY:
            return GUESS * offered[0].minutes
        return self.minutes_with(offered[0].question, chances, left, path)

    def _in_vain(self, chances: Chances) -> float:
        """Give the expected minutes in wrong sheets, the likeliest opened first."""
        spent = expected = 0.0
        for likely, minutes in sorted(zip(chances, self.sheets, strict=True), reverse=True):
            expected += likely * spent
            spent += minutes
        return expected
