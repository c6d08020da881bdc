"""Life of an electrolytic: how long it lasts where it sits, and how much of that is used."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import (
    BELIEVE_NEITHER,
    CELSIUS,
    HOURS,
    MEMORY,
    NUMBER,
    PRACTICE,
    PUBLISHED,
    RATIO,
    Answer,
    CalculationError,
    Celsius,
    Centimetres,
    Entry,
    Hours,
    Kelvin,
    Number,
    Part,
    Source,
    Target,
    Value,
    Verdict,
    above,
    calculator,
    read,
    show,
    within,
)

from ._curves import life_curve
from ._endurance import COOLEST, Conditions, air_temperature, choose_model, core_rise_of
from ._parts import family_of, temperature_of

ModelName = Literal["ten-degree", "dc-only", "ripple", "polymer"]

_ENDURANCE_TEMPERATURES = (85, 105, 125, 130, 135)
_MOST_YEARS = 15.0
_YEAR_DAYS = 365.25
_ROUNDING = 1e-9
_MODEL_WORDS = {
    "ten-degree": "ten-degree rule",
    "dc-only": "endurance stated with direct voltage only, core rise taken off",
    "ripple": "endurance stated with ripple, core rise compared",
    "polymer": f"solid polymer, ten times for 20 K ({MEMORY})",
}


@dataclass(frozen=True, slots=True)
class Stay:
    """A part of the duty at one temperature."""

    temperature: Annotated[Celsius, "air at the can", within(0, 135)]
    hours: Annotated[Hours, "for how long, as a share of the whole", above(0)]


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    family = family_of(where) if isinstance(where, Part) else None
    if not isinstance(where, Part) or family not in (
        "aluminium",
        "aluminium-polymer",
        "tantalum-polymer",
    ):
        return None
    inputs = {"model": "ripple" if family == "aluminium" else "polymer"}
    rating = temperature_of(where)
    if rating is not None and read(rating, CELSIUS).value in _ENDURANCE_TEMPERATURES:
        inputs["endurance_temperature"] = rating
    return inputs


@calculator(
    "electrolytic-life",
    formula="ten-degree: L = L0 2^((T0 - Ta)/10);  dc-only: times 2^(-dT/5);  ripple: times "
    "2^(dT0/(10 - dT0/4) - dT/(10 - dT/4)), dT = dT0 ripple_ratio^2;  polymer: "
    "L = L0 10^((T0 - Ta)/20);  profile: L = sum(t)/sum(t/L)",
    sources=[
        Source("makers' notes: life doubles for ten degrees less"),
        Source("a maker's engineering note on lifetime calculation: endurance with ripple"),
        Source("a maker's note on the life of aluminium capacitors: endurance with DC only"),
        Source("a power-supply maker's question page: mixed duty"),
        Source("solid polymer, floor of 40 degC, cap of 15 years", MEMORY),
        Source("verdict from the used share", PRACTICE),
    ],
    cautions=[BELIEVE_NEITHER],
    gives={
        "life": "hours to the end-of-life limits at these conditions",
        "years": "the life in years of so many hours a day",
        "used_share": "hours already run as a share of the life",
        "model": "the model used",
        "equivalent_temperature": "of a profile: the constant temperature with the same life",
    },
    fits=_fits,
)
def electrolytic_life(
    endurance: Annotated[
        Hours, "endurance that the sheet states", within(1.8e6, 7.2e7), PRACTICE
    ] = 7.2e6,
    endurance_temperature: Annotated[
        Celsius, "temperature of that endurance: 85, 105, 125, 130 or 135", PRACTICE
    ] = 105,
    basis: Annotated[
        Literal["ripple", "dc-only"], "what the endurance is stated with", PRACTICE
    ] = "ripple",
    model: Annotated[ModelName | None, "left out: the one of the basis"] = None,
    temperature: Annotated[
        Celsius, "air at the can, inside the set", within(0, 135), PRACTICE
    ] = 50,
    ripple_ratio: Annotated[
        Number, "ripple current over the rated one, at the same frequency", within(0, 3), PRACTICE
    ] = 1,
    rated_rise: Annotated[
        Kelvin, "core rise at rated ripple; 5 K for most series", within(3.5, 10), PUBLISHED
    ] = 5,
    core_rise: Annotated[
        Kelvin | None, "core above the air, as ripple-heating gives it", within(0, 60)
    ] = None,
    voltage_factor: Annotated[
        Number, "1 for radial parts below 100 V", within(1, 2.5), PRACTICE
    ] = 1,
    hours_per_day: Annotated[Hours, "hours switched on a day", above(0, 86_400), PRACTICE] = 28_800,
    hours_run: Annotated[Hours | None, "hours it has already run", within(0, 3.6e9)] = None,
    profile: Annotated[tuple[Stay, ...], "instead of one temperature: each with its hours"] = (),
    case_temperature: Annotated[
        Celsius | None, "can top, where that was measured and not the air", within(0, 150)
    ] = None,
    can_diameter: Annotated[
        Centimetres | None, "with case_temperature: diameter of the can", within(0.003, 0.035)
    ] = None,
) -> Answer:
    """Is this capacitor due, and how long will the new one last where it sits?

    The base decides the model: an endurance stated with ripple already holds the heat of rated
    ripple, one stated with direct voltage only does not. Solid polymer gains ten times for 20 K
    and never follows the ten-degree rule. A profile of several temperatures is not the same as
    its average: 8 h each at 45, 55 and 65 degC count as 57.2 degC.

    The end of life is a limit of ESR and capacitance, not failure. What counts is the air inside
    the set, and hot spots near heatsinks. Correct the ripple for its frequency before forming
    the ratio. Unused sets age too. Below 40 degC no longer life is counted on, and years stop at
    15 (from memory). A large-can guide multiplies by 4.3 - 3.3 Va/VR, for large cans run at 0.8
    to 1 of their rated voltage only (from memory): give it as voltage_factor.

    Example: 2000 h at 105 degC, air at 65 degC: 32 000 h, at 8 h a day 10.95 years.

        profile='temperature=45 hours=8' profile='temperature=55 hours=8'
    """
    if endurance_temperature not in _ENDURANCE_TEMPERATURES:
        text = show(endurance_temperature, CELSIUS)
        choices = [f"{one} degC" for one in _ENDURANCE_TEMPERATURES]
        raise CalculationError(
            f"endurance_temperature of {text} is none that sheets state: {', '.join(choices)}",
            input="endurance_temperature",
            read=text,
            choices=choices,
        )
    assumptions: list[str] = []
    chosen = choose_model(model, basis, core_rise)
    if chosen == "polymer" and voltage_factor != 1:
        assumptions.append("voltage_factor is meant for wet aluminium")
    rise = core_rise_of(chosen, core_rise, ripple_ratio, rated_rise, assumptions)
    where = Conditions(chosen, endurance, endurance_temperature, rise, rated_rise, voltage_factor)
    if case_temperature is not None:
        if profile:
            raise CalculationError(
                "give case_temperature or profile, not both", input="case_temperature"
            )
        temperature = air_temperature(case_temperature, can_diameter, where)
        assumptions.append(f"air at the can worked out as {show(temperature, CELSIUS)}")
    stays = profile or (Stay(temperature, 1.0),)
    _check_temperatures(stays, endurance_temperature, "profile" if profile else "temperature")
    if profile:
        assumptions.append("the temperatures of the profile are used, and not temperature")
    if any(one.temperature < COOLEST for one in stays):
        assumptions.append(f"below 40 degC counted as 40 degC ({MEMORY})")
    total = math.fsum(one.hours for one in stays)
    life = total / math.fsum(one.hours / where.life(one.temperature) for one in stays)
    years = life / (_YEAR_DAYS * hours_per_day)
    capped = years > _MOST_YEARS
    used = None if hours_run is None else hours_run / life
    verdict, why = _judge(hours_run, life, used)
    values = [
        Value("life", life, HOURS, digits=5),
        Value(
            "years",
            min(years, _MOST_YEARS),
            NUMBER,
            text=f"more than 15 years, seal ageing not modelled ({MEMORY})"
            if capped
            else f"{years:.4g} years",
        ),
        Value("used_share", used, RATIO, text="give hours_run" if used is None else ""),
        Value("model", chosen),
    ]
    if profile:
        values.append(Value("equivalent_temperature", where.temperature(life), CELSIUS))
    return Answer(
        values,
        verdict=verdict,
        why=why,
        assumptions=[f"model: {_MODEL_WORDS[chosen]}", *assumptions],
        notes=_notes(stays, endurance_temperature, chosen),
        drawings=[life_curve(where, where.temperature(life) if profile else temperature)],
    )


def _check_temperatures(stays: tuple[Stay, ...], rated: float, name: str) -> None:
    hottest = max(one.temperature for one in stays)
    if hottest > rated:
        raise CalculationError(
            f"{name} of {show(hottest, CELSIUS)} is above the rated {show(rated, CELSIUS)}",
            input=name,
            read=show(hottest, CELSIUS),
            hint="a part run above its temperature rating has no life to work out: cool it, or "
            "take one with a higher rating",
        )


def _judge(hours_run: float | None, life: float, used: float | None) -> tuple[Verdict | None, str]:
    if hours_run is None or used is None:
        return None, ""
    why = f"{show(hours_run, HOURS)} run of {show(life, HOURS)} is {show(used, RATIO, digits=3)}"
    if used < 0.5 - _ROUNDING:
        return "pass", f"{why}, below half ({PRACTICE})"
    if used <= 1 + _ROUNDING:
        return "marginal", f"{why}, from half to the whole ({PRACTICE})"
    return "fail", f"{why}, more than the whole ({PRACTICE})"


def _notes(stays: tuple[Stay, ...], rated: float, model: str) -> list[str]:
    notes = ["the end of life is a limit of ESR and capacitance, not failure"]
    if model != "polymer" and any(not 60 <= one.temperature <= 105 for one in stays):
        notes.append("one maker finds that the rule departs below 60 degC and above 105 degC")
    if rated >= 125:
        notes.append("one maker asks to be consulted for parts of 125 degC and above")
    return notes
