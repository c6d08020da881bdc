"""What check values cannot say of the calculators about choosing and judging capacitors."""

from __future__ import annotations

import pytest
from fixbook_plugins.capacitors import fixbook_calculators
from hypothesis import assume, given
from hypothesis import strategies as st

from fixbook.api import read_value
from fixbook.core.calculation import run
from fixbook.core.entry import Entry, Part
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in fixbook_calculators()}
ENTRY = Entry("made-up", "fault", "Made up", "linear-supply")
ROUNDED = 1e-9
POLICIES = [
    ("aluminium", "bench"),
    ("tantalum-mno2", "maker"),
    ("tantalum-mno2", "agency"),
    ("tantalum-polymer", "maker"),
    ("ceramic-1", "agency"),
    ("ceramic-2", "bench"),
    ("film", "maker"),
    ("film", "agency"),
    ("mains", "limit"),
]
temperatures = st.floats(-55, 150)


def calculate(name: str, **texts: str | list[str]):
    """Run a calculator on texts as typed."""
    given = {key: [text] if isinstance(text, str) else text for key, text in texts.items()}
    return run(CALCULATORS[name], given).answer


def direct(name: str, **values):
    """Call a calculator on values."""
    return CALCULATORS[name].function(**values)


def refusal(name: str, **texts: str | list[str]) -> CalculationError:
    """Give the refusal of inputs that cannot be used."""
    with pytest.raises(CalculationError) as refused:
        calculate(name, **texts)
    return refused.value


def rule(name: str, original: str, candidate: str, place: str) -> tuple[str, str]:
    """Give one rule's verdict on a replacement, and why; capacitance and volts are the same."""
    same = "capacitance=100uF rated_voltage=25V"
    answer = calculate(
        "replacement",
        original=f"{'' if 'capacitance=' in original else same} {original}",
        candidate=f"{'' if 'capacitance=' in candidate else same} {candidate}",
        place=place,
    )
    (row,) = [row for row in answer["rows"] if row["rule"] == name]
    return row["verdict"], row["why"]


def part(**fields: str) -> Part:
    """Make an electrolytic."""
    return Part(**{"at": "C5", "is_": "aluminium electrolytic, radial", **fields})


def fitted(name: str, where: Part) -> dict[str, str] | None:
    """Give what a calculator is filled in with, each text having been read as its input."""
    calculator = CALCULATORS[name]
    texts = calculator.fits(where, ENTRY)
    for key, text in (texts or {}).items():
        read_value(calculator.input(key), text, [])
    return texts


@given(
    st.sampled_from(POLICIES),
    st.lists(st.floats(0.1, 900), min_size=2, max_size=2),
    st.floats(0, 0.5),
    temperatures,
)
def test_rating_rises_with_the_rail(policy, rails, tolerance, temperature):
    """A higher rail never asks for less."""
    low, high = (_minimum(policy, rail, tolerance, 0, temperature) for rail in sorted(rails))
    assume(low is not None and high is not None)
    assert low <= high * (1 + ROUNDED)


@given(
    st.sampled_from(POLICIES),
    st.floats(1, 900),
    st.lists(st.floats(0, 0.5), min_size=2, max_size=2),
    st.lists(st.floats(0, 1), min_size=2, max_size=2),
)
def test_rating_rises_with_tolerance_and_ripple(policy, rail, tolerances, ripples):
    """More tolerance and more ripple never ask for less."""
    low, high = (
        _minimum(policy, rail, tolerance, ripple * rail, 60)
        for tolerance, ripple in zip(sorted(tolerances), sorted(ripples), strict=True)
    )
    assert low <= high * (1 + ROUNDED)


@given(
    st.sampled_from(POLICIES),
    st.floats(0.1, 900),
    st.lists(temperatures, min_size=2, max_size=2),
)
def test_rating_never_falls_with_temperature(policy, rail, two):
    """A hotter part never needs less rating; where the policy ends it gives none."""
    cool, hot = (_minimum(policy, rail, 0.05, 0, one) for one in sorted(two))
    assert hot is None or (cool is not None and cool <= hot * (1 + ROUNDED))


def _minimum(policy, rail, tolerance, ripple, temperature):
    family, name = policy
    return direct(
        "voltage-derating",
        rail=rail,
        rail_tolerance=tolerance,
        ripple_peak=ripple,
        family=family,
        policy=name,
        temperature=temperature,
    )["minimum_rating"]


@given(st.sampled_from([*POLICIES, ("aluminium", "limit")]), st.floats(0.1, 300), temperatures)
def test_chosen_rating_passes_its_own_policy(policy, rail, temperature):
    """The standard rating that is offered is one that the verdict accepts."""
    family, name = policy
    wanted = {"rail": rail, "family": family, "policy": name, "temperature": temperature}
    standard = direct("voltage-derating", **wanted)["standard_rating"]
    assume(standard is not None)
    assert direct("voltage-derating", **wanted, candidate=standard).verdict == "pass"


def test_half_the_rating_belongs_to_the_manganese_dioxide_type():
    """On the same rail polymer tantalum takes a lower rating than manganese dioxide."""
    ratings = [
        calculate("voltage-derating", rail="12 V", family=family)["standard_rating"]
        for family in ("tantalum-mno2", "tantalum-polymer")
    ]
    assert ratings == [35, 16]


def test_part_below_the_original_is_at_best_marginal():
    """Enough under the policy, but less than what sat there."""
    wanted = {"rail": "12 V", "candidate": "25 V"}
    assert calculate("voltage-derating", **wanted, original="35 V").verdict == "marginal"
    assert calculate("voltage-derating", **wanted, original="25 V").verdict == "pass"


def test_agency_ceramic_on_a_low_rail_wants_100_v():
    """The agency's rule for rails below 10 V makes a lower part marginal."""
    wanted = {"family": "ceramic-2", "policy": "agency", "candidate": "50 V"}
    low = calculate("voltage-derating", rail="5 V", **wanted)
    high = calculate("voltage-derating", rail="12 V", **wanted)
    assert (low.verdict, high.verdict) == ("marginal", "pass")


def test_policy_that_a_family_lacks_names_those_it_has():
    """The refusal offers the family's own policies."""
    refused = refusal("voltage-derating", rail="5 V", policy="agency")
    assert (refused.input, refused.choices) == ("policy", ("bench", "limit"))


def test_family_without_policy_still_fails_above_its_rating():
    """The hard limit needs no policy."""
    answer = calculate(
        "voltage-derating", rail="12 V", family="aluminium-polymer", candidate="10 V"
    )
    assert answer.verdict == "fail"


@pytest.mark.parametrize(
    ("texts", "named"),
    [
        ({"rail": "5 V", "ripple_peak": "6 V"}, "ripple_peak"),
        ({"rail": "2000 V"}, "rail"),
        ({"rail": "5 V", "rail_tolerance": "60 %"}, "rail_tolerance"),
        ({"rail": "5 V", "temperature": "200 C"}, "temperature"),
        ({"rail": "5 V", "candidate": "0 V"}, "candidate"),
        ({"rail": "5 ohm"}, "rail"),
    ],
)
def test_derating_names_the_input_it_refuses(texts, named):
    """A refusal names the input that it is about."""
    assert refusal("voltage-derating", **texts).input == named


@given(st.floats(40, 105), st.floats(3.5, 10))
def test_ripple_model_at_rated_ripple_is_the_ten_degree_rule(temperature, rated_rise):
    """At ratio 1 the heat of the endurance test cancels out."""
    lives = [
        direct("electrolytic-life", temperature=temperature, rated_rise=rated_rise, model=model)[
            "life"
        ]
        for model in ("ripple", "ten-degree")
    ]
    assert lives[0] == pytest.approx(lives[1], rel=1e-12)


@given(
    st.floats(0, 105),
    st.floats(1, 1e6),
    st.sampled_from(["ripple", "ten-degree", "polymer"]),
    st.floats(0, 2),
)
def test_profile_of_one_is_the_plain_model(temperature, seconds, model, ratio):
    """One stay of any length gives the life at its temperature."""
    stay = CALCULATORS["electrolytic-life"].input("profile").record(temperature, seconds)
    plain = direct("electrolytic-life", temperature=temperature, model=model, ripple_ratio=ratio)
    profile = direct("electrolytic-life", profile=(stay,), model=model, ripple_ratio=ratio)
    assert profile["life"] == pytest.approx(plain["life"], rel=1e-12)


@given(st.floats(0, 105), st.floats(0, 3), st.floats(3.5, 10), st.floats(1, 2.5))
def test_life_is_an_answer_or_a_refusal_of_the_ripple(temperature, ratio, rise, factor):
    """Within the ranges only a ripple too large for the model is refused."""
    try:
        answer = direct(
            "electrolytic-life",
            temperature=temperature,
            ripple_ratio=ratio,
            rated_rise=rise,
            voltage_factor=factor,
        )
    except CalculationError as refused:
        assert (refused.input, rise * ratio**2 > 20) == ("ripple_ratio", True)
    else:
        assert answer["life"] > 0


def test_ten_degree_rule_is_not_fed_an_average():
    """8 h each at 45, 55 and 65 degC count as more than their average of 55 degC."""
    stays = [f"temperature={one} hours=8" for one in (45, 55, 65)]
    mixed = calculate("electrolytic-life", endurance="1000 h", profile=stays)
    average = calculate("electrolytic-life", endurance="1000 h", temperature="55 C")
    assert (round(mixed["equivalent_temperature"], 1), mixed["life"] < average["life"]) == (
        57.2,
        True,
    )


def test_equivalent_temperature_agrees_with_scipy():
    """A root finder on the plain model finds the same constant temperature."""
    optimize = pytest.importorskip("scipy.optimize")
    stays = [f"temperature={one} hours={hours}" for one, hours in ((50, 3), (72, 20), (95, 1))]
    mixed = calculate("electrolytic-life", ripple_ratio="1.3", profile=stays)

    def excess(temperature: float) -> float:
        plain = direct("electrolytic-life", temperature=temperature, ripple_ratio=1.3)
        return plain["life"] - mixed["life"]

    found = optimize.brentq(excess, 50, 95)
    assert mixed["equivalent_temperature"] == pytest.approx(found, abs=1e-6)


def test_polymer_does_not_follow_the_ten_degree_rule():
    """20 K less give ten times the life of a polymer part, and four times that of a wet one."""
    gains = [
        direct("electrolytic-life", model=model, temperature=65)["life"]
        / direct("electrolytic-life", model=model, temperature=85)["life"]
        for model in ("polymer", "ten-degree")
    ]
    assert gains == [pytest.approx(10), pytest.approx(4)]


def test_endurance_with_direct_voltage_only_needs_the_core_rise():
    """The base decides the model, and that model needs the rise."""
    assert refusal("electrolytic-life", basis="dc-only").input == "core_rise"


@pytest.mark.parametrize(("millimetres", "air"), [(8, 65), (11, 65.45), (14, 65.83), (35, 66.88)])
def test_air_is_cooler_than_the_case_by_the_size_of_the_can(millimetres, air):
    """The greater the can, the more of the core's rise lies inside it."""
    answer = calculate(
        "electrolytic-life", case_temperature="70 C", can_diameter=f"{millimetres} mm"
    )
    plain = direct("electrolytic-life", temperature=air)
    assert answer["life"] == pytest.approx(plain["life"], rel=1e-3)


@pytest.mark.parametrize(
    ("texts", "named"),
    [
        ({"endurance_temperature": "100 C"}, "endurance_temperature"),
        ({"case_temperature": "70 C"}, "can_diameter"),
        ({"case_temperature": "70 C", "model": "ten-degree"}, "case_temperature"),
        ({"case_temperature": "70 C", "profile": ["temperature=50 hours=1"]}, "case_temperature"),
        ({"profile": ["temperature=110 hours=1"]}, "profile"),
        ({"core_rise": "25 K"}, "core_rise"),
        ({"hours_per_day": "25 h"}, "hours_per_day"),
        ({"endurance": "100 h"}, "endurance"),
        ({"basis": "dc-only", "model": "ripple"}, "model"),
    ],
)
def test_life_names_the_input_it_refuses(texts, named):
    """A refusal names the input that it is about."""
    assert refusal("electrolytic-life", **texts).input == named


@given(st.floats(1e-7, 0.1), st.floats(1, 500), st.floats(0, 0.1))
def test_leakage_above_the_limit_never_passes(capacitance, volts, reading):
    """A reading passes exactly up to the limit when it is taken as exact."""
    answer = direct("leakage-limit", capacitance=capacitance, rated_voltage=volts, reading=reading)
    assert (answer.verdict == "pass") == (reading <= answer["limit"])


def test_leakage_reading_without_uncertainty_says_so():
    """A reading taken as exact stands among the assumptions."""
    answer = calculate(
        "leakage-limit", capacitance="1000 uF", rated_voltage="16 V", reading="150 uA"
    )
    assert any("taken as exact" in one for one in answer.assumptions)


def test_leakage_cautions_stand_without_a_reading():
    """Whoever asks for the limit is going to charge a capacitor, and reads how that can hurt."""
    result = run(
        CALCULATORS["leakage-limit"], {"capacitance": ["10 uF"], "rated_voltage": ["400 V"]}
    )
    assert any("above 60 V" in one for one in result.cautions)


@pytest.mark.parametrize(
    ("name", "original", "candidate", "place", "verdict"),
    [
        ("capacitance", "", "capacitance=150uF rated_voltage=25V", "role=reservoir", "pass"),
        ("capacitance", "", "capacitance=220uF rated_voltage=25V", "role=reservoir", "marginal"),
        ("capacitance", "", "capacitance=330uF rated_voltage=25V", "role=reservoir", "fail"),
        ("capacitance", "", "capacitance=80uF rated_voltage=25V", "role=decoupling", "pass"),
        ("capacitance", "", "capacitance=79uF rated_voltage=25V", "role=decoupling", "fail"),
        ("capacitance", "", "capacitance=110uF rated_voltage=25V", "role=timing", "marginal"),
        ("capacitance", "", "capacitance=120uF rated_voltage=25V", "role=timing", "fail"),
        ("capacitance", "tolerance=5%", "tolerance=10%", "role=timing", "marginal"),
        ("capacitance", "tolerance=10%", "tolerance=5%", "role=timing", "pass"),
        ("voltage", "", "capacitance=100uF rated_voltage=63V", "role=reservoir", "marginal"),
        ("voltage", "", "capacitance=100uF rated_voltage=16V", "role=reservoir", "cannot tell"),
        ("voltage", "", "capacitance=100uF rated_voltage=16V", "role=coupling rail=9V", "marginal"),
        ("voltage", "", "capacitance=100uF rated_voltage=16V", "role=coupling rail=13V", "fail"),
        ("temperature", "temperature_rating=105C", "temperature_rating=85C",
         "role=coupling", "fail"),
        (
            "temperature",
            "temperature_rating=105C",
            "temperature_rating=85C",
            "role=coupling temperature=40C",
            "marginal",
        ),
        ("temperature", "temperature_rating=105C", "", "role=coupling", "cannot tell"),
        ("ESR", "esr=0.1", "esr=0.1", "role=reservoir", "pass"),
        ("ESR", "esr=0.1", "esr=0.13", "role=reservoir", "marginal"),
        ("ESR", "esr=0.1", "esr=0.14", "role=reservoir", "fail"),
        ("ESR", "esr=0.1 esr_frequency=120Hz", "esr=0.05", "role=reservoir", "cannot tell"),
        ("ripple current", "ripple=1A", "ripple=1A", "role=reservoir", "pass"),
        ("ripple current", "ripple=1A", "ripple=0.8A", "role=reservoir", "marginal"),
        ("ripple current", "ripple=1A", "ripple=0.79A", "role=reservoir", "fail"),
        ("ripple current", "ripple=1A", "ripple=0.5A",
         "role=reservoir measured_ripple=0.4A", "pass"),
        ("size", "diameter=10mm height=20mm", "diameter=10mm height=16mm", "role=timing", "pass"),
        ("size", "diameter=10mm", "diameter=12.5mm", "role=timing", "cannot tell"),
        ("size", "", "diameter=10mm height=20mm", "role=timing free_height=21mm", "marginal"),
        ("size", "", "diameter=10mm height=20mm", "role=timing free_height=22mm", "pass"),
        ("size", "", "diameter=18mm height=20mm", "role=timing free_height=22mm", "marginal"),
        ("size", "", "diameter=5mm height=20mm", "role=timing free_height=20mm", "pass"),
        ("size", "", "diameter=5mm height=21mm", "role=timing free_height=20mm", "fail"),
        ("pitch", "pitch=5mm", "pitch=5.5mm", "role=timing", "pass"),
        ("pitch", "pitch=5mm", "pitch=7.5mm", "role=timing", "marginal"),
        ("pitch", "pitch=5mm", "pitch=10mm", "role=timing", "fail"),
        ("pitch", "pitch=5mm", "pitch=5mm lead_diameter=1mm", "role=timing hole=0.8mm", "fail"),
        ("polarity", "", "polarity=bipolar", "role=coupling", "pass"),
        ("polarity", "polarity=bipolar", "", "role=coupling", "fail"),
        ("polarity", "family=ceramic-2", "", "role=decoupling polarity=polar", "pass"),
        ("dielectric", "family=ceramic-2", "family=ceramic-1", "role=timing", "pass"),
        ("dielectric", "family=ceramic-1", "family=ceramic-2", "role=timing", "fail"),
        ("dielectric", "family=film", "family=ceramic-2", "role=snubber", "fail"),
        ("dielectric", "", "family=aluminium-polymer", "role=reservoir", "marginal"),
        ("ESR too low", "esr=1", "esr=0.1", "role=regulator-output", "marginal"),
        ("ESR too low", "esr=1", "esr=0.3", "role=regulator-output", "pass"),
        ("ESR too low", "", "esr=0.1", "role=regulator-output esr_window=0.2..10ohm", "fail"),
        ("ESR too low", "", "esr=0.3", "role=regulator-output esr_window=0.2..10ohm", "pass"),
        ("tantalum", "", "family=tantalum-mno2",
         "role=reservoir rail=12V rail_tolerance=0", "pass"),
        ("tantalum", "", "family=tantalum-mno2", "role=reservoir rail=12V", "fail")
    ],
)  # fmt: skip
def test_rule_of_a_replacement(name, original, candidate, place, verdict):
    """Each rule holds at its limits."""
    assert rule(name, original, candidate, place)[0] == verdict


@pytest.mark.parametrize(
    ("wanted", "offered", "verdict"),
    [
        ("X2", "X2", "pass"),
        ("X2", "X1", "pass"),
        ("X1", "X2", "fail"),
        ("X2", "Y2", "fail"),
        ("Y2", "X1/Y2", "pass"),
        ("X1/Y2", "Y2", "fail"),
    ],
)
def test_safety_class_is_the_same_or_higher(wanted, offered, verdict):
    """A mains part needs each letter of the original, in the same or a higher subclass."""
    old = f"family=mains capacitance=10nF rated_voltage=250V safety_class={wanted}"
    new = f"family=mains capacitance=10nF rated_voltage=250V safety_class={offered}"
    assert rule("safety class", old, new, "role=mains")[0] == verdict


def test_lower_alternating_voltage_is_refused_on_mains():
    """The class alone is not enough."""
    old = "family=mains capacitance=10nF rated_voltage=275V safety_class=X2"
    new = "family=mains capacitance=10nF rated_voltage=250V safety_class=X2"
    assert rule("safety class", old, new, "role=mains")[0] == "fail"


def test_unmarked_part_fails_wherever_a_safety_part_sat():
    """The original's class makes the place a mains place, whatever role was stated."""
    old = "family=mains capacitance=10nF rated_voltage=275V safety_class=X2"
    new = "family=film capacitance=10nF rated_voltage=630V"
    assert rule("safety class", old, new, "role=snubber")[0] == "fail"


def test_endurance_is_compared_at_the_temperature_of_the_original():
    """2000 h at 105 degC are 8000 h at 85 degC."""
    verdict, why = rule(
        "endurance",
        "endurance=5000h temperature_rating=85C",
        "endurance=2000h temperature_rating=105C",
        "role=coupling",
    )
    assert (verdict, why) == ("pass", "8000 h for 5000 h at 85 degC")


def test_esr_is_carried_to_the_frequency_of_the_original():
    """0.25 ohm at 120 Hz are 0.16 ohm at 100 kHz for a part of up to 16 V."""
    verdict, why = rule(
        "ESR",
        "capacitance=100uF rated_voltage=16V esr=0.2 esr_frequency=100kHz",
        "capacitance=100uF rated_voltage=16V esr=0.25 esr_frequency=120Hz",
        "role=reservoir",
    )
    assert (verdict, why) == ("pass", "0.16 ohm for 0.2 ohm, same frequency")


@pytest.mark.parametrize("volts", ["16 V", "25 V", "35 V", "50 V"])
@pytest.mark.parametrize("hertz", ["50 Hz", "300 Hz", "1 kHz", "5 kHz", "100 kHz"])
def test_both_plugins_carry_an_esr_alike(volts, hertz):
    """The coefficients that replacement uses are those of the ESR limits."""
    from fixbook_plugins.esr import fixbook_calculators as esr_calculators

    limits = {one.name: one for one in esr_calculators()}["tan-delta-limit"]
    known = {"capacitance": ["100 uF"], "rated_voltage": [volts], "frequency": [hertz]}
    limit = run(limits, known).answer
    _, why = rule(
        "ESR",
        f"capacitance=100uF rated_voltage={volts} esr=1 esr_frequency={hertz}",
        f"capacitance=100uF rated_voltage={volts} esr=1 esr_frequency=120Hz",
        "role=reservoir",
    )
    carried = float(why.partition(" ohm")[0])
    assert carried == pytest.approx(limit["esr_at_frequency"] / limit["esr"], rel=5e-3)


def test_regulator_that_may_oscillate_is_cautioned_about():
    """An ESR that may be too low brings its own caution."""
    answer = calculate(
        "replacement",
        original="family=tantalum-mno2 capacitance=47uF rated_voltage=16V",
        candidate="family=ceramic-2 capacitance=47uF rated_voltage=16V",
        place="role=regulator-output",
    )
    assert "can oscillate" in answer.cautions[0]


def test_overall_verdict_is_that_of_the_worst_row():
    """One rule that fails fails the part, and the reason names it."""
    answer = calculate(
        "replacement",
        original="capacitance=100uF rated_voltage=25V pitch=5mm",
        candidate="capacitance=150uF rated_voltage=25V pitch=10mm",
        place="role=reservoir",
    )
    assert (answer.verdict, answer.why.partition(":")[0]) == ("fail", "pitch")


@pytest.mark.parametrize(
    ("candidate", "named"),
    [
        ("capacitance=100uF rated_voltage=25V pitch=5", "pitch"),
        ("capacitance=100uF rated_voltage=25V safety_class=Z9", "candidate"),
        ("capacitance=100 rated_voltage=25V", "capacitance"),
        ("capacitance=100uF rated_voltage=25V colour=blue", "candidate"),
    ],
)
def test_replacement_names_the_field_it_refuses(candidate, named):
    """A refusal names the field that it is about; a length without unit is refused."""
    refused = refusal(
        "replacement",
        original="family=mains capacitance=100uF rated_voltage=25V safety_class=X2",
        candidate=f"{candidate} family=mains",
        place="role=mains",
    )
    assert refused.input == named


KNOWN = part(value="470 uF", volts="25 V", temperature="105 degC", esr="0.1 ohm", ripple="1.2 A")


@pytest.mark.parametrize(
    ("name", "texts"),
    [
        ("voltage-derating", {"family": "aluminium", "candidate": "25 V"}),
        ("electrolytic-life", {"model": "ripple", "endurance_temperature": "105 degC"}),
        ("leakage-limit", {"capacitance": "470 uF", "rated_voltage": "25 V"}),
        (
            "replacement",
            {
                "original": "family=aluminium capacitance=470 uF rated_voltage=25 V "
                "temperature_rating=105 degC esr=0.1 ohm ripple=1.2 A"
            },
        ),
    ],
)
def test_part_fills_in_each_calculator(name, texts):
    """Each takes from an electrolytic what it can use."""
    assert fitted(name, KNOWN) == texts


@pytest.mark.parametrize(
    ("is_", "family"),
    [
        ("aluminium electrolytic, radial", "aluminium"),
        ("tantalum electrolytic", "tantalum-mno2"),
        ("polymer tantalum capacitor", "tantalum-polymer"),
        ("aluminium polymer capacitor", "aluminium-polymer"),
        ("ceramic chip capacitor, C0G", "ceramic-1"),
        ("ceramic chip capacitor, X7R", "ceramic-2"),
        ("polypropylene pulse capacitor", "film"),
        ("film capacitor of safety class X2", "mains"),
    ],
)
def test_family_is_read_from_what_a_part_is(is_, family):
    """The family that a write-up words freely is the one of the policies."""
    texts = fitted("voltage-derating", part(is_=is_, volts="as marked"))
    assert texts == {"family": family}


@pytest.mark.parametrize(
    "is_",
    [
        "aluminium or tantalum electrolytic, as the original",
        "relay, change-over",
        "ceramic chip or low-ESR electrolytic capacitor",
        "film resistor",
    ],
)
def test_part_of_no_clear_family_fits_nothing(is_):
    """Where two families are named, or none, no calculator is filled in."""
    where = part(is_=is_, value="10 uF", volts="25 V")
    assert [fitted(name, where) for name in CALCULATORS] == [None] * 4
