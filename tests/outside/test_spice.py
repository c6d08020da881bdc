"""The calculators against a circuit simulator, ngspice in batch mode.

The netlists are not part of the project; each test names what its netlist holds. Without ngspice
or the folder the tests are skipped.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import fixbook_plugins.esr
import fixbook_plugins.power
import fixbook_plugins.supply
import pytest

from fixbook.core.answer import Answer
from fixbook.core.calculation import assign, run

PLUGINS = (fixbook_plugins.esr, fixbook_plugins.power, fixbook_plugins.supply)
CALCULATORS = {one.name: one for plugin in PLUGINS for one in plugin.fixbook_calculators()}
RESULT = re.compile(r"^([a-z]\w*(?:\(\w+\))?)\s*=\s*([-+.\de]+)", re.MULTILINE)
DIODE_DROP = 0.75

Simulate = Callable[[str], list[tuple[str, float]]]


class Supply(NamedTuple):
    """A rectifier with its reservoir, as in its netlist."""

    netlist: str
    volts_rms: float
    farads: float
    ohms: float
    rectifier: str

    @property
    def rule_load(self) -> float:
        """The load at the full peak, less 0.75 V for each diode in the way."""
        diodes = 2 if self.rectifier == "full" else 1
        return (2**0.5 * self.volts_rms - DIODE_DROP * diodes) / self.ohms


SUPPLIES = (
    Supply("rect1.cir", 12, 2200e-6, 22, "full"),
    Supply("rect2.cir", 12, 1000e-6, 100, "full"),
    Supply("rect3.cir", 24, 4700e-6, 15, "full"),
    Supply("half.cir", 12, 1000e-6, 100, "half"),
)


@pytest.fixture(scope="module")
def simulate(outside: Path) -> Simulate:
    """Run a netlist and give what it printed, in order."""
    program = shutil.which("ngspice")
    if program is None:
        pytest.skip("ngspice is not installed; it is the simulator these tests compare with")
    folder = outside / "spice_netlists"
    if not folder.is_dir():
        pytest.skip(f"there are no netlists at {folder}; set FIXBOOK_OUTSIDE to their parent")
    seen: dict[str, list[tuple[str, float]]] = {}

    def ran(name: str) -> list[tuple[str, float]]:
        if name not in seen:
            done = subprocess.run(
                [program, "-b", str(folder / name)],
                check=False,
                capture_output=True,
                text=True,
                timeout=60,
            )
            seen[name] = [(key, float(value)) for key, value in RESULT.findall(done.stdout)]
        assert seen[name], f"ngspice printed no result for {name}"
        return seen[name]

    return ran


def calculate(name: str, *words: str) -> Answer:
    """Run a calculator on what is typed."""
    return run(CALCULATORS[name], assign(CALCULATORS[name], words)).answer


@pytest.mark.parametrize("supply", SUPPLIES, ids=lambda supply: supply.netlist)
def test_ripple_bound_is_above_the_simulation_by_60_per_cent_at_most(simulate, supply):
    """The simple rule is an upper bound for a sound supply, and no useless one."""
    ripple = dict(simulate(supply.netlist))["vpp"]
    bound = calculate(
        "reservoir-ripple",
        f"load={supply.rule_load} A",
        f"capacitance={supply.farads} F",
        f"rectifier={supply.rectifier}",
    )["ripple_bound"]
    assert ripple <= bound <= 1.6 * ripple


@pytest.mark.parametrize("supply", SUPPLIES, ids=lambda supply: supply.netlist)
def test_a_simulated_sound_capacitor_passes_against_the_closer_figure(simulate, supply):
    """With the peak and the true load, what a sound capacitor shows is never called a fault."""
    seen = dict(simulate(supply.netlist))
    answer = calculate(
        "reservoir-ripple",
        f"load={seen['vavg'] / supply.ohms} A",
        f"capacitance={supply.farads} F",
        f"rectifier={supply.rectifier}",
        f"peak={seen['vmax']} V",
        f"measured={seen['vpp']} V",
    )
    assert (answer.verdict, answer["ripple"]) == ("pass", pytest.approx(seen["vpp"], rel=0.12))


def test_loaded_divider_is_that_of_the_simulation(simulate):
    """12 V, 10 kohm over 4.7 kohm, with a load of 100 kohm."""
    answer = calculate("divider", "12 V", "10k", "4.7k", "100k")
    assert answer["loaded"] == pytest.approx(dict(simulate("div.cir"))["v(out)"], rel=1e-9)


def test_letter_code_is_read_where_the_simulator_misreads_it(simulate):
    """The same divider written 4k7: ngspice takes 4 kohm, the calculator 4.7 kohm."""
    seen = dict(simulate("div.cir"))
    answer = calculate("divider", "12 V", "10k", "4k7", "100k")
    assert answer["loaded"] == pytest.approx(seen["v(out)"], rel=1e-9)
    assert seen["v(o2)"] == pytest.approx(10 / 3)


def test_impedance_of_an_electrolytic_is_that_of_the_simulation(simulate):
    """470 uF with 80 mohm and 15 nH, from 100 Hz to 1 MHz."""
    simulated = [value for name, value in simulate("esr.cir") if name == "zm"]
    answers = [
        calculate("impedance", "470uF", "80 mohm", "15 nH", f"{frequency} Hz")["impedance"]
        for frequency in (100, 1e3, 10e3, 100e3, 1e6)
    ]
    assert answers == pytest.approx(simulated, rel=1e-9)


def test_impedance_formula_is_that_of_the_simulation_at_resonance_too(simulate):
    """10 ohm, 1 mH and 1 uF: more inductance than a capacitor's leads have, so by the function."""
    simulated = [value for name, value in simulate("rlc.cir") if name == "zm"]
    function = CALCULATORS["impedance"].function
    answers = [
        function(capacitance=1e-6, esr=10.0, esl=1e-3, frequency=frequency)["impedance"]
        for frequency in (1e3, 5032.921210448703, 20e3)
    ]
    assert answers == pytest.approx(simulated, rel=1e-9)


def test_discharge_takes_the_time_constant_of_the_simulation(simulate):
    """10 kohm and 100 nF: 63.2 % of a step after 1 ms is a fall to 36.8 %."""
    reached = dict(simulate("rc.cir"))["t63"]
    answer = calculate("discharge", "100 nF", "5 V", "1.839397205857212 V", "10k")
    assert answer["time"] == pytest.approx(reached, rel=1e-5)
