"""Current shunts, and what an ammeter does to the current that it measures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, NoReturn

from fixbook.api import (
    AMPS,
    ARITHMETIC,
    OHMS,
    PRACTICE,
    RATIO,
    VOLTS,
    WATTS,
    Amps,
    Answer,
    CalculationError,
    Entry,
    Ohms,
    Part,
    Source,
    Target,
    Value,
    Volts,
    above,
    calculator,
    show,
    within,
)

from ._parts import resistance_of

_FOUR_WIRE_BELOW = 0.1
_NEEDS_CIRCUIT = "give the resistance of the circuit for this"


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    if not isinstance(where, Part):
        return None
    resistance = resistance_of(where)
    words = where.is_.lower().replace("-", " ")
    named = "shunt" in words or "current sense" in words or "current sensing" in words
    return {"resistance": resistance} if resistance and named else None


@calculator(
    "shunt",
    formula="Vb = I Rsh; P = I^2 Rsh; shown I = V/(R + Rb) instead of V/R; error = -Rb/(R + Rb)",
    sources=[
        Source("Ohm's law", ARITHMETIC),
        Source("four-wire sensing below 0.1 ohm", PRACTICE),
    ],
    cautions=[
        "An ammeter across a supply is a short circuit.",
        "Replace the fuse of a current jack by the specified high-rupture type only.",
    ],
    gives={
        "burden_voltage": "voltage across the shunt or meter",
        "power": "power in the shunt or meter",
        "shown_current": "current that flows with the meter in the circuit",
        "error": "how far that is from the current without the meter",
    },
    fits=_fits,
)
def shunt(
    current: Annotated[Amps | None, "current through the shunt", within(0, 10_000)] = None,
    resistance: Annotated[Ohms | None, "resistance of the shunt", within(0, 100)] = None,
    voltage: Annotated[
        Volts | None,
        "voltage that drives the circuit; with a current, the shunt's marked drop",
        within(0, 1000),
    ] = None,
    circuit_resistance: Annotated[
        Ohms | None, "resistance of the circuit without the meter", above(0, 1e12)
    ] = None,
    burden: Annotated[
        Ohms | None, "resistance of the ammeter and its leads", within(0, 100)
    ] = None,
) -> Answer:
    """What does this shunt drop, and how far does my ammeter change the current?

    Give current and resistance of a shunt; or voltage, circuit resistance and burden, to see
    what the meter does; or current and voltage as marked on a shunt (75 mV / 50 A). A reading is
    mended by (R + Rb)/R. Below 0.1 ohm sense with four wires, or the joints are measured too.

    Example: 5 V into 50 ohm with a burden of 1.8 ohm shows 96.5 mA instead of 100 mA, -3.47 %.
    """
    if current is not None and burden is None:
        return _of_shunt(current, resistance, voltage, circuit_resistance)
    if resistance is not None or current is not None:
        _refuse("burden" if current is not None else "current")
    if voltage is None or circuit_resistance is None or burden is None:
        given = {"voltage": voltage, "circuit_resistance": circuit_resistance, "burden": burden}
        absent = [name for name, value in given.items() if value is None]
        _refuse(absent[0] if len(absent) < len(given) else "current")
    shown = voltage / (circuit_resistance + burden)
    return _answer(shown, burden, circuit_resistance, [
        f"Without the meter {show(voltage / circuit_resistance, AMPS)} would flow."
    ])  # fmt: skip


def _of_shunt(
    current: float, resistance: float | None, voltage: float | None, circuit: float | None
) -> Answer:
    if (resistance is None) == (voltage is None):
        _refuse("resistance" if resistance is None else "voltage")
    notes = []
    if resistance is None:
        if not current:
            _refuse("current")
        resistance = (voltage or 0.0) / current
        notes.append(
            f"{show(voltage or 0.0, VOLTS)} at {show(current, AMPS)} is a shunt of "
            f"{show(resistance, OHMS)}."
        )
    if circuit is not None:
        whole = current * (circuit + resistance) / circuit
        notes.append(f"Without the shunt {show(whole, AMPS)} would flow.")
    return _answer(current, resistance, circuit, notes)


def _answer(current: float, resistance: float, circuit: float | None, notes: list[str]) -> Answer:
    if 0 < resistance < _FOUR_WIRE_BELOW:
        notes.append(f"Below 0.1 ohm sense with four wires ({PRACTICE}).")
    error = None if circuit is None else -resistance / (circuit + resistance)
    return Answer(
        [
            Value("burden_voltage", current * resistance, VOLTS),
            Value("power", current * current * resistance, WATTS),
            Value("shown_current", None if circuit is None else current, AMPS,
                  text=_NEEDS_CIRCUIT if circuit is None else ""),
            Value("error", error, RATIO, text=_NEEDS_CIRCUIT if error is None else ""),
        ],
        notes=notes,
    )  # fmt: skip


def _refuse(name: str) -> NoReturn:
    raise CalculationError(
        "give current and resistance of a shunt, or voltage, circuit_resistance and burden of a "
        "measurement, or current and voltage as marked on a shunt",
        input=name,
        choices=["current and resistance", "voltage, circuit_resistance and burden"],
    )
