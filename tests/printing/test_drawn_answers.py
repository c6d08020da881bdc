"""What calculators draw, and the same as text on a terminal."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest

from fixbook.core.calculation import assign, run
from fixbook.core.calculator import Calculator
from fixbook.core.sheet import BarsBlock, CurveBlock, ScaleBlock

Fixbook = Callable[..., Any]

SIMULATED = {
    100: 3.387210822,
    1e3: 0.347857426,
    1e4: 0.0865086387,
    1e5: 0.0802275733,
    1e6: 0.1233650228,
}
"""ngspice 39, batch mode: 470 uF, 80 mohm and 15 nH in series, volts over amps."""


def drawn(module: Any, name: str, *words: str) -> Any:
    """Run a calculator; give its first drawing."""
    from fixbook.api import calculators_in

    found: dict[str, Calculator] = {one.name: one for one in calculators_in(vars(module))}
    return run(found[name], assign(found[name], words)).answer.drawings[0]


@pytest.mark.parametrize("hertz", list(SIMULATED))
def test_impedance_as_simulated(hertz: float) -> None:
    """The curve of an impedance goes through the values of a circuit simulator."""
    from fixbook_plugins.esr import _impedance as esr

    block = drawn(esr, "impedance", "capacitance=470u", "esr=80 mohm", "esl=15 nH", "frequency=1k")
    assert isinstance(block, CurveBlock)
    ((_, points),) = block.curves
    nearest = min(points, key=lambda point: abs(point[0] / hertz - 1))
    assert nearest == (pytest.approx(hertz), pytest.approx(SIMULATED[hertz], rel=1e-6))


def test_life_doubles_for_ten_degrees_less() -> None:
    """Along the curve of a life ten degrees less are twice the hours (makers' notes on life)."""
    from fixbook_plugins.capacitors import _life as capacitors

    block = drawn(capacitors, "electrolytic-life", "temperature=65 degC")
    lives = dict(block.curves[0][1])
    at = sorted(lives)
    assert lives[at[-1]] == pytest.approx(2000 * 3600)
    pairs = [(low, high) for low in at for high in at if abs(high - low - 10.4) < 0.01]
    assert all(lives[a] / lives[b] == pytest.approx(2**1.04) for a, b in pairs) and pairs


def test_trimmer_and_its_steps() -> None:
    """The scale of a trimmer has its window, the present reading with the guard band, the plan."""
    from fixbook_plugins import resistance

    block = drawn(resistance, "trimmer-steps", "450..600", "640", "uncertainty=5")
    assert isinstance(block, ScaleBlock)
    assert (block.windows[0][:2], block.readings) == ((450, 600), (("present", 640, 5),))
    assert block.steps == pytest.approx((601.667, 563.333, 525), abs=0.001)


def test_rates_with_intervals() -> None:
    """Two fixes are two bars with their Wilson intervals (statsmodels: 7 of 9, 50 of 100)."""
    from fixbook_plugins.job_history import calculators

    block = drawn(calculators, "compare-fixes", "7", "9", "50", "100")
    assert isinstance(block, BarsBlock)
    assert block.bars[0][1:] == pytest.approx((7 / 9, 0.452589, 0.936775), abs=1e-6)
    assert block.bars[1][1:] == pytest.approx((0.5, 0.403832, 0.596168), abs=1e-6)


def test_on_the_terminal(fixbook: Fixbook) -> None:
    """A calculation's drawing stands among its figures as text."""
    ran = fixbook("calc", "fix-rate", "8", "10")
    assert "fixed  \u2588" in ran.out and "80 % (49 % to 94 %)" in ran.out


def test_on_a_terminal_without_blocks() -> None:
    """Where the terminal's letters have no blocks, plain signs stand for them."""
    from fixbook.cli.session import Session

    bytes_out = io.BytesIO()
    out = io.TextIOWrapper(bytes_out, encoding="latin-1", errors="backslashreplace")
    Session(out=out).write([[("plain", "\u2588\u2592\u2591 \u25bc\u2500")]])
    out.flush()
    assert bytes_out.getvalue().split() == [b"#+.", b"v-"]
