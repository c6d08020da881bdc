"""Waves of rectified supplies: small boxes for a circuit, and the two ripples side by side."""

from __future__ import annotations

import math

from paper import Paper

Points = list[tuple[float, float]]
DIP_A_STEP = 0.0045
"""How far the reservoir falls between two points of a wave, as a share of the peak."""


def rectified(kind: str, count: int, cycles: float, dip: float = DIP_A_STEP) -> list[float]:
    """Return one wave as shares of the peak.

    Kinds: sine; pulses and dips (full wave, without and with reservoir); half-dips (half wave).
    """
    start = 0.0 if kind in ("sine", "pulses") else math.pi / 2
    values: list[float] = []
    level = 1.0
    for step in range(count + 1):
        now = math.sin(start + step / count * cycles * 2 * math.pi)
        drive = max(now, 0.0) if kind == "half-dips" else abs(now)
        level = max(drive, level - dip)
        values.append({"sine": now, "pulses": drive}.get(kind, level))
    return values


def wave_box(paper: Paper, x: float, y: float, head: str, kind: str) -> None:
    """Sketch one wave, 160 by 80, with its time axis and a word on its peaks."""
    zero = y + (60 if kind == "sine" else 90)
    swing = 40 if kind == "sine" else 65
    paper.text(x + 80, y, head, anchor="middle")
    paper.arrow(x, zero, x + 172, zero, width=1, head=7)
    values = rectified(kind, 160, 2)
    paper.poly([(x + step, zero - swing * value) for step, value in enumerate(values)], width=2.5)
    words = {"sine": "two cycles", "pulses": "two peaks a cycle", "dips": "two dips a cycle"}[kind]
    paper.text(x + 80, y + 120, words, anchor="middle", size=13)


def ripple_full_and_half() -> Paper:
    """Mains, full-wave ripple and half-wave ripple over the same time."""
    paper = Paper(
        "ripple-full-and-half",
        "Ripple of a full-wave and of a half-wave rectifier",
        "Three traces over the same three cycles: the mains; full-wave ripple with two peaks a "
        "cycle; half-wave ripple with one peak a cycle and valleys more than twice as deep.",
        680,
        420,
    )
    rows = (
        ("sine", "mains", ["50 or 60 Hz"], 80, 40),
        ("dips", "full wave", ["100 or 120 Hz,", "two peaks a cycle"], 250, 90),
        ("half-dips", "half wave", ["50 or 60 Hz, one peak", "a cycle: an open diode"], 385, 90),
    )
    for kind, head, words, zero, swing in rows:
        paper.arrow(190, zero, 660, zero, width=1, head=8)
        values = rectified(kind, 450, 3, 0.0035)
        if kind == "sine":
            values = [math.cos(step / 450 * 6 * math.pi) for step in range(451)]
        points: Points = [(195 + step, zero - swing * v) for step, v in enumerate(values)]
        paper.poly(points, width=2.5)
        paper.text(20, zero - 45, head, bold=True, size=15)
        paper.lines(20, zero - 25, words, size=14)
    for cycle in range(4):
        paper.line(195 + cycle * 150, 30, 195 + cycle * 150, 400, width=1, dash="3 5")
    return paper
