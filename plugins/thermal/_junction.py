"""Junction temperature, and the heatsink that keeps it down."""

from __future__ import annotations

from typing import Annotated

from fixbook.api import (
    CELSIUS,
    KELVIN,
    KELVIN_PER_WATT,
    MEMORY,
    PRACTICE,
    PROVE_DEAD,
    SECONDARY,
    Answer,
    CalculationError,
    Celsius,
    KelvinPerWatt,
    Source,
    Value,
    Verdict,
    Watts,
    above,
    calculator,
    show,
    within,
)

HOT_METAL = (
    "Metal above about 60 degC burns at a touch. Heatsinks on the mains side are live, and so is "
    "many a tab."
)
_ANY_RTH = within(0, 200)
_SOURCES = [
    Source("heat-sink maker's figure in a university lecture: 1.0 K/W with grease", SECONDARY),
    Source("case to sink dry 1.0 to 1.5, mica with grease 1.0 to 1.8, pad 1.0 to 2.5 K/W", MEMORY),
    Source("a free-standing TO-220 body: 50 to 65 K/W junction to air", MEMORY),
    Source("40 degC inside a case; limit 125 degC, target 110 degC", PRACTICE),
    Source("ISO 13732-1 for burns by contact", MEMORY),
]
_TYPICAL = {
    "junction_case": f"1.5 to 5 K/W for a TO-220 body, by its data sheet ({MEMORY})",
    "case_sink": f"1 K/W with grease ({SECONDARY}), 1.0 to 2.5 K/W with a pad ({MEMORY})",
    "sink_air": "the heatsink's data sheet",
}


@calculator(
    "junction",
    formula="Tj = Ta + P (RthJC + RthCS + RthSA), or Ta + P RthJA without a heatsink",
    sources=_SOURCES,
    cautions=[HOT_METAL, PROVE_DEAD],
    gives={
        "junction": "temperature of the junction",
        "margin": "how far that is below the limit; negative above it",
    },
)
def junction(
    power: Annotated[Watts, "power in the part", within(0, 500)],
    ambient: Annotated[Celsius, "temperature of the air inside", within(-20, 85), PRACTICE] = 40,
    junction_case: Annotated[KelvinPerWatt | None, "junction to case", _ANY_RTH] = None,
    case_sink: Annotated[KelvinPerWatt | None, "case to sink", _ANY_RTH] = None,
    sink_air: Annotated[KelvinPerWatt | None, "sink to air", _ANY_RTH] = None,
    junction_air: Annotated[
        KelvinPerWatt | None, "junction to air, where there is no heatsink", _ANY_RTH
    ] = None,
    limit: Annotated[Celsius, "highest junction temperature", within(70, 200), PRACTICE] = 125,
    target: Annotated[Celsius, "junction temperature to aim at", within(50, 200), PRACTICE] = 110,
) -> Answer:
    """How hot does this junction get?

    Give the three thermal resistances with a heatsink, or junction to air without one. Up to the
    target it passes, up to the limit it is marginal. Junction to air in a data sheet assumes a
    board area; forced air changes sink to air several times over. An insulated tab needs washer
    and bush; the tab is often live, and another one on a positive than on a negative regulator.

    Example: 3.56 W, 5 + 1 + 10 K/W, 40 degC: 96.96 degC.
    """
    chain = {"junction_case": junction_case, "case_sink": case_sink, "sink_air": sink_air}
    whole = _whole(chain, junction_air)
    hot = ambient + power * whole
    aim = min(target, limit)
    assumptions = (
        [f"target lowered to the limit of {show(limit, CELSIUS)}"] if target > limit else []
    )
    verdict: Verdict = "pass" if hot <= aim else "marginal" if hot <= limit else "fail"
    against = f"target {show(aim, CELSIUS)}, limit {show(limit, CELSIUS)}"
    return Answer(
        [
            Value("junction", hot, CELSIUS, digits=5),
            Value("margin", limit - hot, KELVIN),
        ],
        verdict=verdict,
        why=f"{show(hot, CELSIUS)}: {against}, with {show(whole, KELVIN_PER_WATT)} in all",
        assumptions=assumptions,
        notes=["It will shut down or fail."] if verdict == "fail" else [],
    )


@calculator(
    "heatsink",
    formula="RthSA <= (Tj,max - Ta)/P - RthJC - RthCS",
    sources=_SOURCES,
    cautions=[HOT_METAL, PROVE_DEAD],
    gives={"sink_air": "highest thermal resistance that the heatsink may have"},
)
def heatsink(
    power: Annotated[Watts, "power in the part", above(0, 500)],
    ambient: Annotated[Celsius, "temperature of the air inside", within(-20, 85), PRACTICE] = 40,
    *,
    junction_case: Annotated[KelvinPerWatt, "junction to case, by the data sheet", _ANY_RTH],
    case_sink: Annotated[KelvinPerWatt, "case to sink: about 1 K/W with grease", _ANY_RTH],
    limit: Annotated[Celsius, "highest junction temperature", within(70, 200), PRACTICE] = 125,
) -> Answer:
    """Which heatsink does this part need?

    The figure is the highest that will do; a larger heatsink has a lower one. Where it comes out
    at nothing or below, no heatsink is good enough: share the power, or lower it. Case to sink
    is about 1.0 K/W with grease and no insulator, up to 1.8 with mica and 2.5 with a pad.

    Example: 5 W, 3.0 + 1.0 K/W, 50 degC, limit 150 degC: below 16 K/W.
    """
    needed = (limit - ambient) / power - junction_case - case_sink
    best = ambient + power * (junction_case + case_sink)
    note = f"With a perfect heatsink the junction would be at {show(best, CELSIUS)}."
    if needed <= 0:
        text = "impossible: no heatsink is good enough"
        return Answer([Value("sink_air", None, KELVIN_PER_WATT, text=text)], notes=[note])
    return Answer([Value("sink_air", needed, KELVIN_PER_WATT)], notes=[note])


def _whole(chain: dict[str, float | None], junction_air: float | None) -> float:
    given = [name for name, value in chain.items() if value is not None]
    if junction_air is not None:
        if given:
            raise CalculationError(
                f"junction_air is for a part without a heatsink; leave out {', '.join(given)}, or "
                "junction_air",
                input="junction_air",
                read=show(junction_air, KELVIN_PER_WATT),
                choices=["junction_air", ", ".join(chain)],
            )
        return junction_air
    absent = next((name for name in chain if name not in given), None)
    if not given:
        raise CalculationError(
            "give junction_case, case_sink and sink_air with a heatsink, or junction_air without",
            input="junction_air",
            choices=["junction_air", ", ".join(chain)],
        )
    if absent is not None:
        raise CalculationError(
            f"{absent} is missing; typical: {_TYPICAL[absent]}", input=absent, choices=[absent]
        )
    return sum(value for value in chain.values() if value is not None)
