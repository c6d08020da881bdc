"""Steps that come before the caution that belongs to them.

What is read is the order of work: the steps of `opening`, then the numbered steps of the body.
Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from fixbook.core.page import Page
from fixbook.core.problems import Problem

RULE = "step-before-caution"
DEADLY = ("mains", "stored-charge", "high-voltage", "live-chassis")
"""Hazards of units that must be dead before a hand goes in."""
_STEP = re.compile(r" {0,3}(\d{1,9})[.)]\s+(.*)")
_SAFE = re.compile(
    r"\bunplug|\bplugs?\b.{0,40}\bout\b|\b(?:lead|cord|cells?|batter(?:y|ies)) out\b|"
    r"\bpull (?:the )?(?:mains )?(?:plug|lead|cord)|\bshut down\b|"
    r"\b(?:power|everything|supply|unit|mains|set|all) (?:is )?off\b|\bswitch(?:ed)? (?:it )?off\b|"
    r"\bdischarge|\bprov(?:e|en|ed) (?:it )?dead|\bdisconnect",
    re.IGNORECASE,
)
_COVERS = (
    r"(?:top|bottom|side|back|front|rear|cover|lid|case|chassis|board|panel|base|hood|screen)s?"
)
_HANDS_IN = re.compile(
    rf"\b(?:desolder|unsolder|lift (?:one|the|a) (?:lead|leg|end|board)|swing (?:out|the)|unscrew|"
    rf"(?:take (?:off|out)|remove|pull (?:off|out)) (?:the |its |one )?{_COVERS})\b",
    re.IGNORECASE,
)
_LATE = re.compile(
    r"\b(?:before|ahead of|prior to) (?:you (?:do|begin|start) )?step (\d+)\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class _Step:
    text: str
    line: int
    """Of the body; 0 for a step of `opening`."""
    number: int
    """As written; for a step of `opening`, its place in the list from 0."""


def early_steps(page: Page) -> Iterator[Problem]:
    """Report the first step with hands inside, where making the unit safe comes only later."""
    steps = list(_steps(page))
    yield from _late_cautions(page, steps)
    if not set(DEADLY) & set(page.entry.hazards):
        return
    for at, step in enumerate(steps):
        safe, hands = _SAFE.search(step.text), _HANDS_IN.search(step.text)
        if safe and (hands is None or safe.start() <= hands.start()):
            return
        if hands:
            caution = safe or next(
                (found for one in steps[at + 1 :] if (found := _SAFE.search(one.text))), None
            )
            if caution:
                what = f"{hands[0]!r} comes before {caution[0]!r}"
                yield _report(page, step, what, "put the caution before the step", hands.start())
            return


def _late_cautions(page: Page, steps: list[_Step]) -> Iterator[Problem]:
    """Report a step that says what to do before an earlier one."""
    for step in steps:
        for found in _LATE.finditer(step.text):
            if step.line and int(found[1]) < step.number:
                what = f"step {step.number} says what to do {found[0]}"
                do = f"move it to before step {int(found[1])}"
                yield _report(page, step, what, do, found.start())


def _steps(page: Page) -> Iterator[_Step]:
    for number, step in enumerate(page.entry.opening):
        yield _Step(step.do, 0, number)
    for line, text in enumerate(page.entry.body.split("\n"), 1):
        if found := _STEP.match(text):
            yield _Step(found[2], line, int(found[1]))


def _report(page: Page, step: _Step, what: str, do: str, column: int) -> Problem:
    if step.line:
        line = page.entry.body.split("\n")[step.line - 1]
        return page.body_fault(RULE, what, do, step.line, line.find(step.text) + column + 1)
    return page.fault(RULE, what, do, "opening", page.row("opening", "do", step.text), "do")
