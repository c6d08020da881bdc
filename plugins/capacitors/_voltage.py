"""Voltage rating: what a rail asks for, and whether a part at hand has it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fixbook.api import (
    BELIEVE_NEITHER,
    MEMORY,
    PRACTICE,
    RATIO,
    SECONDARY,
    VENTING,
    VOLTS,
    Answer,
    CalculationError,
    Celsius,
    Entry,
    Part,
    Ratio,
    Source,
    Target,
    Value,
    Verdict,
    Volts,
    above,
    calculator,
    show,
    within,
    worst,
)

from ._parts import family_of, volts_of
from ._policies import (
    STANDARD_VOLTS,
    FamilyName,
    Policy,
    PolicyName,
    SeriesName,
    find_policy,
    judge,
    policy_names,
    standard_rating,
)

NO_FILM_ON_MAINS = "Never put a direct-voltage film part where an X or Y capacitor sat."
TANTALUM_BURNS = "Tantalum parts of the manganese dioxide type on low-impedance rails can burn."
_AGENCY_CERAMIC_RAIL = 10.0
_AGENCY_CERAMIC_RATING = 100.0


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    family = family_of(where) if isinstance(where, Part) else None
    if family is None or not isinstance(where, Part):
        return None
    volts = volts_of(where)
    return {"family": family, **({"candidate": volts} if volts else {})}


@calculator(
    "voltage-derating",
    formula="stress = rail (1 + rail_tolerance) + ripple_peak;  minimum_rating = stress/fraction;  "
    "standard_rating: the first standard value with fraction rating >= stress",
    sources=[
        Source("maker's answers on derating tantalum and polymer capacitors"),
        Source("maker's sheet of a 150 degC tantalum series, recommended voltages"),
        Source("tantalum at 125 degC, film above 85 degC, agency factors", MEMORY),
        Source("polymer at 125 degC, ceramics at full voltage", SECONDARY),
        Source("aluminium at 80 %, class 2 ceramics at half", PRACTICE),
        Source("IEC 60384-14 as a maker's page quotes it: X1 and X2 impulse classes"),
        Source("IEC 60384-4, hard limit", MEMORY),
    ],
    cautions=[VENTING, TANTALUM_BURNS, NO_FILM_ON_MAINS, BELIEVE_NEITHER],
    gives={
        "stress": "highest voltage across the part, direct plus ripple peak",
        "fraction": "share of the rated voltage that the policy allows",
        "minimum_rating": "lowest rated voltage that takes the stress",
        "standard_rating": "first rated voltage of the usual list that takes it",
    },
    fits=_fits,
)
def voltage_derating(
    rail: Annotated[Volts, "direct voltage of the rail; for mains parts rms", above(0, 1000)],
    rail_tolerance: Annotated[
        Ratio, "how far the rail may lie above", within(0, 0.5), PRACTICE
    ] = 0.05,
    ripple_peak: Annotated[Volts, "ripple, peak above the mean", within(0, 1000)] = 0,
    family: Annotated[FamilyName, "what kind of capacitor"] = "aluminium",
    policy: Annotated[
        PolicyName | None, "whose rule; left out: what is usual for the family"
    ] = None,
    temperature: Annotated[Celsius, "of the capacitor", within(-55, 150), PRACTICE] = 60,
    candidate: Annotated[Volts | None, "rated voltage of the part at hand", above(0)] = None,
    original: Annotated[Volts | None, "rated voltage of the part that sat there", above(0)] = None,
    series: Annotated[
        SeriesName, "top temperature of a manganese dioxide tantalum series"
    ] = "125-c",
) -> Answer:
    """What voltage rating must the replacement have on this rail?

    The rail's tolerance counts: a 24 V rail needs a 50 V tantalum at exactly 24 V, and none of
    the usual list at 5 % more. Half the rated voltage belongs to the manganese dioxide type of
    tantalum; polymer types are run at 90 % up to 10 V and 80 % above. Aluminium parts at 80 %
    are common practice; makers find little effect of voltage on life at low voltage. Half the
    rating of a class 2 ceramic keeps its capacitance, it is not for survival. A part below the
    original's rating is at best marginal. A mains part needs the same or a higher subclass and
    the marked alternating voltage: X1 is for impulses above 2.5 kV up to 4 kV, X2 up to 2.5 kV.
    The agency rule for ceramics on rails below 10 V asks for parts rated at least 100 V, of
    certain military styles.

    Example: 12 V, 5 %, 0.3 V ripple, aluminium at 80 %: stress 12.9 V, at least 16.1 V, so 25 V.
    """
    if ripple_peak > rail:
        raise CalculationError(
            f"ripple_peak of {show(ripple_peak, VOLTS)} is above the rail of {show(rail, VOLTS)}",
            input="ripple_peak",
            read=show(ripple_peak, VOLTS),
            hint="give the peak above the mean, not the peak-to-peak value of another rail",
        )
    stress = rail * (1 + rail_tolerance) + ripple_peak
    rule = find_policy(family, policy, series)
    if rule is None:
        return _without_policy(family, policy, stress, candidate)
    minimum = rule.minimum_rating(stress, temperature)
    standard = standard_rating(rule, family, stress, temperature)
    fraction = None if minimum is None else rule.fraction(temperature, standard or minimum)
    outside = f"outside policy, which ends at {rule.points[-1][0]:g} degC"
    unlisted = (
        "none of the usual list" if family in STANDARD_VOLTS else "no usual list: see minimum"
    )
    judged = _judge(rule, family, stress, temperature, candidate, (minimum, standard))
    judged += _beside(family, policy, rail, candidate, original)
    decided = worst([verdict for verdict, _ in judged]) if judged else None
    known = rule.evidence(temperature, standard or minimum or stress)
    return Answer(
        [
            Value("stress", stress, VOLTS, digits=5),
            Value("fraction", fraction, RATIO, text="" if fraction is not None else outside),
            Value(
                "minimum_rating",
                minimum,
                VOLTS,
                digits=5,
                text="" if minimum is not None else outside,
            ),
            Value(
                "standard_rating",
                standard,
                VOLTS,
                text="" if standard else outside if minimum is None else unlisted,
            ),
        ],
        verdict=decided,
        why="; ".join(why for verdict, why in judged if verdict == decided),
        assumptions=[f"policy: {rule.source} ({known})"],
        notes=_notes(family, policy, rail),
    )


def _without_policy(
    family: str, policy: str | None, stress: float, candidate: float | None
) -> Answer:
    if policy is not None and policy != "bench":
        names = policy_names(family)
        raise CalculationError(
            f"there is no {policy} policy for {family}; it has {', '.join(names)}",
            input="policy",
            read=policy,
            choices=names,
        )
    why = f"no derating policy is known for {family}; give policy=limit to judge the bare rating"
    if candidate is not None and stress > candidate:
        verdict: Verdict = "fail"
        why = f"stress of {stress:.4g} V on a part of {candidate:g} V: above its rating"
    else:
        verdict = "cannot tell"
    none = "no policy"
    return Answer(
        [
            Value("stress", stress, VOLTS, digits=5),
            Value("fraction", None, RATIO, text=none),
            Value("minimum_rating", None, VOLTS, text=none),
            Value("standard_rating", None, VOLTS, text=none),
        ],
        verdict=verdict,
        why=why,
    )


def _judge(
    rule: Policy,
    family: str,
    stress: float,
    temperature: float,
    candidate: float | None,
    ratings: tuple[float | None, float | None],
) -> list[tuple[Verdict, str]]:
    if candidate is not None:
        return [judge(rule, stress, temperature, candidate)]
    minimum, standard = ratings
    if minimum is None:
        last = rule.points[-1][0]
        return [("fail", f"{temperature:g} degC is outside policy, which ends at {last:g} degC")]
    if standard is None and family in STANDARD_VOLTS:
        why = f"{stress:.4g} V asks for {minimum:.4g} V, above every usual rating of {family}"
        return [("fail", f"{why}: use another family")]
    return []


def _beside(
    family: str,
    policy: str | None,
    rail: float,
    candidate: float | None,
    original: float | None,
) -> list[tuple[Verdict, str]]:
    """Give what else speaks against a candidate."""
    found: list[tuple[Verdict, str]] = []
    if candidate is not None and original is not None and candidate < original:
        found.append(("marginal", f"{candidate:g} V is below the original's {original:g} V"))
    military = _wants_military_style(family, policy, rail)
    if candidate is not None and military and candidate < _AGENCY_CERAMIC_RATING:
        why = f"{candidate:g} V is below the 100 V that the agency asks for on rails below 10 V"
        found.append(("marginal", why))
    return found


def _wants_military_style(family: str, policy: str | None, rail: float) -> bool:
    is_ceramic = family in ("ceramic-1", "ceramic-2")
    return is_ceramic and policy == "agency" and rail < _AGENCY_CERAMIC_RAIL


def _notes(family: str, policy: str | None, rail: float) -> list[str]:
    notes = []
    if family == "mains":
        notes.append("the same or a higher subclass, and the marked alternating voltage")
    if _wants_military_style(family, policy, rail):
        notes.append(
            "on rails below 10 V the agency asks for parts rated at least 100 V, of certain "
            f"military styles ({SECONDARY})"
        )
    return notes
