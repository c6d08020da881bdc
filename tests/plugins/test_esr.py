"""What check values cannot say of the calculators about equivalent series resistance."""

from __future__ import annotations

import math

import pytest
from fixbook_plugins.esr import fixbook_calculators
from hypothesis import given
from hypothesis import strategies as st

from fixbook.api import read_value
from fixbook.core.calculation import run
from fixbook.core.entry import Entry, Part, Target
from fixbook.core.quantity import OHMS
from fixbook.errors import CalculationError

CALCULATORS = {one.name: one for one in fixbook_calculators()}
ENTRY = Entry("made-up", "fault", "Made up", "linear-supply")
ROUNDED = 1e-9
capacitances = st.floats(1e-7, 0.1)
resistances = st.floats(0, 1000)
inductances = st.floats(0, 1e-6)
frequencies = st.floats(1, 1e9)


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


def part(**fields: str) -> Part:
    """Make an electrolytic."""
    return Part(**{"at": "C5", "is_": "aluminium electrolytic, radial", **fields})


def target(**fields: str) -> Target:
    """Make a target that reads ESR."""
    known = {"name": "ESR", "at": "across its leads", "reads": "esr", **fields}
    return Target(**known, kind=OHMS, windows=())


def fitted(name: str, where: Part | Target, entry: Entry = ENTRY) -> dict[str, str] | None:
    """Give what a calculator is filled in with, each text having been read as its input."""
    calculator = CALCULATORS[name]
    texts = calculator.fits(where, entry)
    for key, text in (texts or {}).items():
        read_value(calculator.input(key), text, [])
    return texts


@given(
    st.floats(1e-6, 5),
    st.floats(1, 1e7),
    st.floats(1e-12, 1),
)
def test_esr_and_tan_delta_are_inverse(tan_delta, frequency, capacitance):
    """A tan delta turned into an ESR and back is the tan delta."""
    there = direct(
        "esr-tan-delta", capacitance=capacitance, frequency=frequency, tan_delta=tan_delta
    )
    back = direct("esr-tan-delta", capacitance=capacitance, frequency=frequency, esr=there["esr"])
    assert back["tan_delta"] == pytest.approx(tan_delta, rel=1e-12)


def test_part_without_loss_has_no_quality():
    """A tan delta of zero gives no quality instead of a division by zero."""
    assert calculate("esr-tan-delta", capacitance="1 uF", tan_delta="0")["quality"] is None


def test_tan_delta_or_esr_has_to_be_given():
    """Without either the refusal names one and offers both."""
    refused = refusal("esr-tan-delta", capacitance="1 uF")
    assert (refused.input, refused.choices) == ("tan_delta", ("tan_delta", "esr"))


@given(
    st.lists(st.floats(0, 1000), min_size=2, max_size=2),
    st.sampled_from(["radial-105", "radial-85", "smd-85"]),
    st.floats(50, 1e6),
    capacitances,
)
def test_verdict_is_monotonic_in_esr(readings, record, frequency, capacitance):
    """A higher ESR never gets a better verdict."""
    good, bad = (
        direct(
            "esr-limit",
            capacitance=capacitance,
            rated_voltage=25,
            measured=measured,
            frequency=frequency,
            record=record,
        )
        for measured in sorted(readings)
    )
    assert _badness(good) <= _badness(bad)


def _badness(answer) -> float:
    limits = "or marginal" in answer.why, "or bad" in answer.why
    between = {(True, False): 1, (True, True): 2, (False, True): 3}.get(limits, 0)
    return {"pass": 0, "marginal": 2, "fail": 4, "cannot tell": between}[answer.verdict]


@pytest.mark.parametrize(
    ("record", "factor"), [("radial-105", 2), ("radial-85", 1.5), ("smd-85", 2)]
)
def test_end_of_life_is_a_multiple_of_the_specified_limit(record, factor):
    """The end-of-life limit hangs on the record's limit, and not on the reading."""
    ends = {
        calculate(
            "esr-limit",
            capacitance="100 uF",
            rated_voltage="16 V",
            measured=measured,
            record=record,
        )["end_of_life_limit"]
        for measured in ("0.1 ohm", "1 ohm")
    }
    new = calculate(
        "tan-delta-limit",
        capacitance="100 uF",
        rated_voltage="16 V",
        frequency="100 kHz",
        record=record,
    )
    assert list(ends) == [pytest.approx(factor * new["esr_at_frequency"])]


@pytest.mark.parametrize(("factor", "verdict"), [("1.3", "fail"), ("3", "marginal")])
def test_snap_in_end_of_endurance_is_stricter_than_end_of_life(factor, verdict):
    """1.3 times the limit holds after endurance, 3 times at the end of useful life."""
    answer = calculate(
        "esr-limit",
        capacitance="470 uF",
        rated_voltage="400 V",
        measured="0.3 ohm",
        sheet_limit="0.2 ohm",
        end_of_life_factor=factor,
        record="snap-in",
    )
    assert answer.verdict == verdict


def test_limit_at_120_hz_does_not_judge_a_reading_at_100_khz():
    """The same reading is good against the limit at 120 Hz and not at 100 kHz."""
    verdicts = [
        calculate(
            "esr-limit",
            capacitance="1000 uF",
            rated_voltage="16 V",
            measured="0.18 ohm",
            frequency=frequency,
        ).verdict
        for frequency in ("120 Hz", "100 kHz")
    ]
    assert verdicts == ["pass", "marginal"]


def test_undecided_reading_names_both_neighbours():
    """`cannot tell` says between which two it lies."""
    answer = calculate(
        "esr-limit",
        capacitance="1000 uF",
        rated_voltage="16 V",
        measured="0.26 ohm",
        uncertainty="0.02 ohm",
    )
    assert "could be marginal or bad: limits 135.8 mohm and 271.6 mohm" in answer.why


def test_bulging_part_is_bad_whatever_it_measures():
    """Physical signs outweigh a good reading."""
    answer = calculate(
        "esr-limit",
        capacitance="1000 uF",
        rated_voltage="16 V",
        measured="0.02 ohm",
        physical_signs="yes",
    )
    assert (answer.verdict, answer.word) == ("fail", "bad")


def test_near_zero_reading_warns_of_a_short():
    """A perfect ESR could be a short circuit, and the answer says so."""
    answer = calculate("esr-limit", capacitance="1000 uF", rated_voltage="16 V", measured="0")
    assert any("shorted" in note for note in answer.notes)


def test_good_reading_in_circuit_is_doubted():
    """A reading in circuit acquits nothing, and the answer says so."""
    answer = calculate(
        "esr-limit",
        capacitance="1000 uF",
        rated_voltage="16 V",
        measured="0.05 ohm",
        in_circuit="yes",
    )
    assert any("lift a lead" in note for note in answer.notes)


def test_snap_in_record_asks_for_the_sheet_limit():
    """A record without tan delta needs the limit of the part's own sheet."""
    refused = refusal(
        "esr-limit",
        capacitance="470 uF",
        rated_voltage="400 V",
        measured="0.3 ohm",
        record="snap-in",
    )
    assert refused.input == "sheet_limit"


def test_frequency_without_coefficients_offers_a_way_out():
    """Above 50 V the answer names 120 Hz and sheet_limit."""
    answer = calculate("esr-limit", capacitance="47 uF", rated_voltage="63 V", measured="1 ohm")
    assert answer.why.endswith("measure at 120 Hz, or give sheet_limit")


@pytest.mark.parametrize(
    ("volts", "tan_delta"), [("4 V", 0.23), ("20 V", 0.14), ("130 V", 0.08), ("300 V", 0.17)]
)
def test_voltage_between_columns_takes_the_smaller_neighbour(volts, tan_delta):
    """A voltage that the sheet lacks gets the stricter of both neighbours, and says so."""
    answer = calculate("tan-delta-limit", capacitance="100 uF", rated_voltage=volts)
    assert answer["tan_delta"] == tan_delta
    assert "is no column of the record" in answer.assumptions[0]


@pytest.mark.parametrize(
    ("capacitance", "tan_delta"),
    [
        ("1000 uF", 0.16),
        ("1999 uF", 0.16),
        ("2000 uF", 0.18),
        ("3000 uF", 0.20),
        ("10000 uF", 0.34),
    ],
)
def test_whole_steps_of_1000_uf_add_to_the_limit(capacitance, tan_delta):
    """Only whole steps of 1000 uF above the first count."""
    answer = calculate("tan-delta-limit", capacitance=capacitance, rated_voltage="16 V")
    assert answer["tan_delta"] == pytest.approx(tan_delta)


@given(capacitances, st.floats(4, 50), st.floats(120, 1e6))
def test_limit_at_a_higher_frequency_is_never_more_generous(capacitance, volts, frequency):
    """Carried up from 120 Hz a limit only gets smaller."""
    answer = direct(
        "tan-delta-limit", capacitance=capacitance, rated_voltage=volts, frequency=frequency
    )
    assert answer["esr_at_frequency"] <= answer["esr"] * (1 + ROUNDED)


@given(capacitances, resistances, inductances, frequencies)
def test_one_part_in_parallel_is_that_part(capacitance, esr, esl, frequency):
    """A list of one capacitor has the impedance of that capacitor."""
    record = CALCULATORS["parallel-capacitors"].inputs[0].record
    alone = direct("impedance", capacitance=capacitance, esr=esr, esl=esl, frequency=frequency)
    together = direct(
        "parallel-capacitors", parts=(record(capacitance, esr, esl),), frequency=frequency
    )
    assert together["impedance"] == alone["impedance"]


@given(
    st.lists(st.tuples(st.floats(1e-12, 1), resistances, inductances), min_size=2, max_size=4),
    frequencies,
)
def test_parallel_parts_give_an_answer_or_a_refusal(parts, frequency):
    """No mix of parts in their ranges ends in anything but an answer or a refusal."""
    record = CALCULATORS["parallel-capacitors"].inputs[0].record
    try:
        answer = direct(
            "parallel-capacitors", parts=tuple(record(*one) for one in parts), frequency=frequency
        )
    except CalculationError as refused:
        assert refused.input == "parts"
    else:
        assert math.isfinite(answer["impedance"])


def test_esr_of_parallel_parts_is_not_that_of_parallel_resistors():
    """At 120 Hz a small low-loss part does not mend the big one: 0.83 ohm, not 0.048 ohm."""
    answer = calculate(
        "parallel-capacitors",
        parts=["capacitance=100uF esr=1", "capacitance=10uF esr=0.05"],
        frequency="120 Hz",
    )
    resistors = 1 / (1 / 1 + 1 / 0.05)
    assert (round(resistors, 3), round(answer["series_resistance"], 2)) == (0.048, 0.83)


def test_inductive_mix_says_its_inductance():
    """Above resonance there is no series capacitance, and the inductance stands in its place."""
    answer = calculate(
        "parallel-capacitors",
        parts="capacitance=470uF esr=0.08 esl=15nH;capacitance=0.1uF esr=0.01 esl=1nH",
    )
    (series,) = [one for one in answer.values if one.name == "series_capacitance"]
    assert series.shown() == "none: inductive, 8.973 nH"


def test_more_than_ten_parts_are_refused():
    """The list of parts ends at ten, and the refusal names it."""
    assert refusal("parallel-capacitors", parts=["capacitance=1uF"] * 11).input == "parts"


def test_impedance_agrees_with_scipy():
    """The impedance is that of the transfer function (LC s^2 + RC s + 1)/(C s)."""
    signal = pytest.importorskip("scipy.signal")
    c, r, l, f = 220e-6, 0.12, 18e-9, 47e3
    _, found = signal.freqresp(([l * c, r * c, 1], [c, 0]), w=[2 * math.pi * f])
    answer = direct("impedance", capacitance=c, esr=r, esl=l, frequency=f)
    assert (answer["resistance"], answer["reactance"]) == (
        pytest.approx(found[0].real, rel=1e-9),
        pytest.approx(found[0].imag, rel=1e-9),
    )


@pytest.mark.parametrize(
    ("family", "esl"), [("chip-ceramic", 1e-9), ("radial", 15e-9), ("snap-in", 20e-9)]
)
def test_inductance_left_out_is_typical_of_the_body(family, esl):
    """The typical inductance is used, and marked as from memory."""
    answer = calculate(
        "impedance", capacitance="100 nF", esr="10 mohm", frequency="1 MHz", family=family
    )
    assert answer["resonance"] == pytest.approx(1 / (2 * math.pi * math.sqrt(esl * 1e-7)))
    assert any("from memory" in one for one in answer.assumptions)


def test_rms_of_a_triangle_agrees_with_scipy():
    """The rms of a triangular current is that of a sampled triangle."""
    signal = pytest.importorskip("scipy.signal")
    samples = [
        0.3 * float(signal.sawtooth(2 * math.pi * (i + 0.5) / 4000, 0.5)) for i in range(4000)
    ]
    rms = math.sqrt(math.fsum(one * one for one in samples) / len(samples))
    answer = direct("ripple-heating", esr=0.05, current_pp=0.6)
    assert answer["current_rms"] == pytest.approx(rms, rel=1e-6)


def test_hot_part_is_warned_about():
    """A rise above 10 K draws a note, one below draws none."""
    can = {"esr": "0.2 ohm", "diameter": "1 cm", "length": "2 cm"}
    cool = calculate("ripple-heating", current_rms="0.5 A", **can)
    hot = calculate("ripple-heating", current_rms="1 A", **can)
    assert (len(cool.notes), len(hot.notes)) == (0, 1)


def test_rated_ripple_gives_the_share_of_it():
    """The rms current is set against the rated ripple."""
    answer = calculate("ripple-heating", esr="0.2 ohm", current_rms="0.5 A", rated_ripple="2 A")
    assert answer["rated_share"] == 0.25


@pytest.mark.parametrize(
    ("texts", "named"),
    [
        ({"esr": "0.1 ohm"}, "current_pp"),
        ({"esr": "0.1 ohm", "current_rms": "1 A", "length": "2 cm"}, "diameter"),
        ({"esr": "0.1 ohm", "current_rms": "1 A", "diameter": "50 cm"}, "diameter"),
        ({"esr": "0.1 ohm", "currents": ["current=1A factor=0"]}, "factor"),
    ],
)
def test_ripple_heating_names_what_is_missing_or_wrong(texts, named):
    """A refusal names the input that it is about."""
    assert refusal("ripple-heating", **texts).input == named


def test_part_fills_in_its_limit():
    """An electrolytic with value and volts gives both."""
    assert fitted("esr-limit", part(value="4700 uF", volts="35 V")) == {
        "capacitance": "4700 uF",
        "rated_voltage": "35 V",
    }


def test_part_above_50_v_is_judged_at_120_hz():
    """Where no coefficients exist the frequency is filled in too."""
    texts = fitted("esr-limit", part(value="47 uF", volts="63 V"))
    assert texts is not None and texts["frequency"] == "120 Hz"


def test_target_takes_its_size_from_the_part_and_its_frequency_from_where_it_is_read():
    """An ESR target of an entry with one such part fits."""
    entry = Entry("made-up", "fault", "Made up", "linear-supply", parts=(
        part(value="1000 uF", volts="16 V"),
    ))  # fmt: skip
    assert fitted("esr-limit", target(at="across its leads, 120 Hz"), entry) == {
        "capacitance": "1000 uF",
        "rated_voltage": "16 V",
        "frequency": "120 Hz",
    }


def test_target_takes_its_size_from_its_own_note():
    """Where parts say `as marked` the target's words may give the size."""
    note = "for a general-purpose 47 uF, 6.3 V surface-mount part when new"
    assert fitted("esr-limit", target(note=note)) == {
        "capacitance": "47 uF",
        "rated_voltage": "6.3 V",
        "record": "smd-85",
    }


@pytest.mark.parametrize(
    "where",
    [
        target(),
        target(note="typical for a low-impedance 1000 uF and 16 V part"),
        target(reads="ohms", note="47 uF, 25 V"),
        part(value="as marked", volts="as marked or the next step up"),
        part(value="47 uF to 220 uF", volts="16 V"),
        part(is_="film capacitor", value="1 uF", volts="63 V"),
        part(is_="aluminium electrolytic, low impedance", value="1000 uF", volts="16 V"),
        part(value="470 uF", volts="630 V"),
    ],
)
def test_nothing_is_filled_in_from_what_does_not_fit(where):
    """No size, two sizes, another kind of part: the general limit is not offered."""
    assert fitted("esr-limit", where) is None


def test_two_parts_with_a_size_leave_the_target_open():
    """Which of two parts a target means is not guessed."""
    parts = (part(value="1000 uF", volts="16 V"), part(value="47 uF", volts="50 V"))
    entry = Entry("made-up", "fault", "Made up", "linear-supply", parts=parts)
    assert fitted("esr-limit", target(), entry) is None


@pytest.mark.parametrize(
    ("name", "texts"),
    [
        ("tan-delta-limit", {"capacitance": "100 uF", "rated_voltage": "25 V"}),
        ("esr-tan-delta", {"capacitance": "100 uF", "esr": "0.2 ohm"}),
        ("impedance", {"capacitance": "100 uF", "esr": "0.2 ohm"}),
        ("ripple-heating", {"esr": "0.2 ohm", "current_rms": "0.5 A"}),
    ],
)
def test_part_with_everything_fits_the_other_calculators(name, texts):
    """Each takes from a part what it can use."""
    known = part(value="100 uF", volts="25 V", esr="0.2 ohm", ripple="0.5 A")
    assert fitted(name, known) == texts
