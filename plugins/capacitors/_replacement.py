"""Whether one capacitor may take the place of another: every rule, and the worst of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated

from fixbook.api import (
    AMPS,
    BELIEVE_NEITHER,
    MEMORY,
    OHMS,
    PRACTICE,
    PROVE_DEAD,
    SECONDARY,
    VENTING,
    Answer,
    Entry,
    Part,
    Source,
    Table,
    Target,
    calculator,
    whole_quantity,
    worst,
)

from ._curves import both_impedances
from ._electrical import (
    USUAL_TEMPERATURE,
    Row,
    check_capacitance,
    check_dielectric,
    check_esr,
    check_low_esr,
    check_polarity,
    check_ripple,
    check_safety_class,
    check_tantalum,
    check_voltage,
)
from ._mechanical import check_endurance, check_pitch, check_size, check_temperature
from ._parts import capacitance_of, family_of, temperature_of, volts_of
from ._records import Capacitor, Exchange, Place
from ._voltage import NO_FILM_ON_MAINS, TANTALUM_BURNS

_RULES: tuple[Callable[[Exchange], Row | None], ...] = (
    check_capacitance,
    check_voltage,
    check_temperature,
    check_endurance,
    check_esr,
    check_low_esr,
    check_ripple,
    check_size,
    check_pitch,
    check_polarity,
    check_dielectric,
    check_tantalum,
    check_safety_class,
)
_OSCILLATES = (
    "A regulator that needs some ESR can oscillate with a part that has too little, and put a "
    "wrong or alternating voltage on everything it feeds. Look at its output with an oscilloscope "
    "at first power-up, loads disconnected where that is possible."
)
"""Said wherever the ESR may be too low for a regulator."""


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    family = family_of(where) if isinstance(where, Part) else None
    if family is None or not isinstance(where, Part):
        return None
    fields = {
        "family": family,
        "capacitance": capacitance_of(where),
        "rated_voltage": volts_of(where),
        "temperature_rating": temperature_of(where),
        "esr": whole_quantity(where.esr, OHMS),
        "ripple": whole_quantity(where.ripple, AMPS),
    }
    if not fields["capacitance"] or not fields["rated_voltage"]:
        return None
    return {"original": " ".join(f"{name}={text}" for name, text in fields.items() if text)}


@calculator(
    "replacement",
    formula="each rule compares the candidate with the original and the place; the verdict is "
    "that of the worst rule",
    sources=[
        Source("limits of the rules", PRACTICE),
        Source("two regulator makers' engineers on ESR: 0.2 to 10 ohm, at least 1 ohm", SECONDARY),
        Source("room above the vent", MEMORY),
        Source("IEC 60384-14, classes X and Y"),
        Source("a tantalum maker's answer on derating: half the rated voltage"),
        Source("ripple coefficients of a surface-mount 85 degC series sheet"),
    ],
    cautions=[PROVE_DEAD, VENTING, TANTALUM_BURNS, NO_FILM_ON_MAINS, BELIEVE_NEITHER],
    gives={"rows": "every rule with its verdict and the numbers behind it"},
    fits=_fits,
)
def replacement(
    original: Annotated[Capacitor, "the part that sat there"],
    candidate: Annotated[Capacitor, "the part that is to go in"],
    place: Annotated[Place, "where it sits, and what is known of the place"],
) -> Answer:
    """May this part go in for that one?

    State what is known of both parts; a rule that has nothing to compare says so and does not
    count. Where the original states something and the candidate does not, that rule is
    `cannot tell`: look it up. Judge ESR and ripple at the same frequency; aluminium parts up to
    50 V are carried from one to the other. An old low-drop regulator may need ESR: 0.2 to 10 ohm
    with 1 uF is quoted for an old generation, at least 1 ohm for another (secondary sources).
    Pitch and lead thickness need a unit: 5 mm.

    Example: 100 uF, 25 V, pitch 2.5 mm sat there, and the same with pitch 3.5 mm is to go in:
    marginal, the leads have to be formed by 1.0 mm.

        original='capacitance=100u rated_voltage=25 pitch=2.5mm'
        candidate='capacitance=100u rated_voltage=25 pitch=3.5mm' place='role=coupling'
    """
    change = Exchange(original, candidate, place)
    rows = [row for rule in _RULES if (row := rule(change)) is not None]
    verdict = worst([row.verdict for row in rows])
    compared = [row for row in rows if row.verdict != "info"]
    deciding = [row for row in rows if row.verdict == verdict]
    if verdict == "pass":
        why = f"all {len(compared)} rules with something to compare pass: "
        why += ", ".join(row.rule for row in compared)
    else:
        why = "; ".join(f"{row.rule}: {row.why}" for row in deciding)
    low_esr = [row for row in rows if row.rule == "ESR too low" and row.verdict != "pass"]
    return Answer(
        [
            Table(
                "rows",
                {"rule": None, "verdict": None, "why": None},
                [row._asdict() for row in rows],
            )
        ],
        verdict=verdict,
        why=why,
        assumptions=_assumptions(change),
        notes=[f"{row.rule} {row.why}" for row in rows if row.verdict == "info"],
        cautions=[_OSCILLATES] if low_esr else [],
        drawings=both_impedances(original, candidate),
    )


def _assumptions(change: Exchange) -> list[str]:
    old, new, place = change.original, change.candidate, change.place
    found = [f"limits of the rules: {PRACTICE}"]
    if place.rail is not None:
        found.append(f"rail taken up to {place.rail_tolerance * 100:g} % above its nominal value")
        if place.temperature is None:
            found.append(f"place taken at {USUAL_TEMPERATURE:g} degC for derating ({PRACTICE})")
    if new.family == "tantalum-mno2" and place.low_impedance is None:
        found.append(f"low-impedance rail: {'yes' if place.is_low_impedance() else 'no'}, by role")
    if old.esr and new.esr and old.esr_frequency is None and new.esr_frequency is None:
        found.append("both ESR values taken as stated at the same frequency")
    if old.ripple and new.ripple and old.ripple_frequency is None and new.ripple_frequency is None:
        found.append("both ripple currents taken as stated at the same frequency")
    return found
