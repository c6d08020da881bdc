"""Electrical rules for a replacement: value, voltage, loss, ripple, kind.

Limits without another source are common practice of the trade.
"""

from __future__ import annotations

from typing import NamedTuple

from fixbook.api import Verdict

from ._frequency import ripple_factor
from ._policies import find_policy, is_within, judge
from ._records import POLAR_FAMILIES, SUPPLY_ROLES, Exchange

USUAL_TEMPERATURE = 60.0
"""Celsius, of a place whose temperature nobody stated."""
_POLYMER = ("aluminium-polymer", "tantalum-polymer")
_CERAMIC = ("ceramic-1", "ceramic-2")
_LOW_ESR = (*_CERAMIC, *_POLYMER, "film")
_PRECISE_ROLES = ("timing", "filter")


class Row(NamedTuple):
    """What one rule says; `info` where there is nothing to compare."""

    rule: str
    verdict: Verdict
    why: str


def check_capacitance(change: Exchange) -> Row:
    """More or less capacitance: free within limits for supplies, near for everything else."""
    old, new = change.original, change.candidate
    ratio = new.capacitance / old.capacitance
    text = f"{ratio:.3g} times the original"
    if change.place.role in SUPPLY_ROLES:
        if not is_within(0.8, ratio) or not is_within(ratio, 2.2):
            return Row("capacitance", "fail", f"{text}; a supply takes 0.8 to 2.2")
        if not is_within(ratio, 1.5):
            return Row("capacitance", "marginal", f"{text}: more inrush, slower start-up")
        return Row("capacitance", "pass", f"{text}, within 0.8 to 1.5")
    if not is_within(abs(ratio - 1), 0.1):
        return Row("capacitance", "fail", f"{text}; this place takes the same value")
    if abs(ratio - 1) > 1e-6:
        return Row("capacitance", "marginal", f"{text}: the nearest value, within 10 %")
    if old.tolerance and not new.tolerance:
        return Row("capacitance", "cannot tell", "same value; the candidate's tolerance is missing")
    if old.tolerance and new.tolerance:
        wider = max(new.tolerance.minus, new.tolerance.plus)
        if not is_within(wider, max(old.tolerance.minus, old.tolerance.plus)):
            return Row("capacitance", "marginal", f"same value, wider tolerance: {new.tolerance}")
    return Row("capacitance", "pass", "same value, tolerance not wider")


def check_voltage(change: Exchange) -> Row | None:
    """Rated voltage; None in a mains place, where the safety class holds it."""
    if change.is_mains():
        return None
    old, new = change.original.rated_voltage, change.candidate.rated_voltage
    stress = change.place.stress()
    if stress is not None and not is_within(stress, new):
        return Row("voltage", "fail", f"stress of {stress:.4g} V is above its {new:g} V")
    if is_within(old, new):
        if not is_within(new, 2.5 * old):
            return Row("voltage", "marginal", f"{new:g} V is more than 2.5 times {old:g} V")
        return Row("voltage", "pass", f"{new:g} V for {old:g} V")
    lower = f"{new:g} V is lower than {old:g} V"
    if stress is None:
        return Row("voltage", "cannot tell", f"{lower}; give the actual rail")
    policy = find_policy(change.candidate.family, None)
    if policy is None:
        return Row("voltage", "cannot tell", f"{lower}, and no derating policy is known for it")
    verdict, why = judge(policy, stress, _temperature(change), new)
    if verdict == "pass":
        return Row("voltage", "marginal", f"{lower}, but enough here: {why}")
    return Row("voltage", "fail", f"{lower}; {why}")


def check_tantalum(change: Exchange) -> Row | None:
    """Tantalum of the manganese dioxide type where a short circuit is fed a large current."""
    new = change.candidate
    if new.family != "tantalum-mno2" or not change.place.is_low_impedance():
        return None
    stress, policy = change.place.stress(), find_policy(new.family, "maker")
    if stress is None or policy is None:
        why = "a low-impedance rail takes half its rated voltage at most; give the rail"
        return Row("tantalum", "cannot tell", why)
    verdict, why = judge(policy, stress, _temperature(change), new.rated_voltage)
    return Row("tantalum", "pass" if verdict == "pass" else "fail", why)


def check_esr(change: Exchange) -> Row:
    """ESR not above the original's, at the same frequency."""
    old, new = change.original, change.candidate
    if old.esr is None:
        return Row("ESR", "info", "not compared: the original's is not known")
    if new.esr is None:
        return Row("ESR", "cannot tell", "the candidate's is missing")
    factor = ripple_factor(new, new.esr_frequency, old.esr_frequency)
    if factor is None:
        return Row("ESR", "cannot tell", "stated at different frequencies: look up the same one")
    esr = new.esr / factor**2
    text = f"{esr:.3g} ohm for {old.esr:.3g} ohm" + ("" if factor == 1 else ", same frequency")
    if is_within(esr, old.esr):
        return Row("ESR", "pass", text)
    if is_within(esr, 1.3 * old.esr):
        return Row("ESR", "marginal", f"{text}: up to 1.3 times")
    return Row("ESR", "fail", f"{text}: more than 1.3 times")


def check_low_esr(change: Exchange) -> Row | None:
    """ESR too low for a regulator; None in any other place."""
    if change.place.role != "regulator-output":
        return None
    rule, esr, window = "ESR too low", change.candidate.esr, change.place.esr_window
    if window is not None:
        if esr is None:
            return Row(rule, "cannot tell", "the candidate's ESR is missing")
        text = f"{esr:.3g} ohm against {window.low:.3g} to {window.high:.3g} ohm"
        inside = is_within(window.low, esr) and is_within(esr, window.high)
        return Row(rule, "pass" if inside else "fail", f"{text} of the regulator")
    unknown = "the regulator's window is not known"
    if esr is not None and change.original.esr is not None:
        if esr < 0.2 * change.original.esr:
            text = f"{esr:.3g} ohm is below 0.2 of {change.original.esr:.3g} ohm"
            return Row(rule, "marginal", f"{text}, and {unknown}")
        return Row(rule, "pass", "not below 0.2 of the original")
    family = change.candidate.family
    if family in _LOW_ESR and change.original.family not in _LOW_ESR:
        return Row(rule, "marginal", f"{family} has far less than the original, and {unknown}")
    return Row(rule, "info", f"not compared: an ESR is missing, and {unknown}")


def check_ripple(change: Exchange) -> Row:
    """Ripple current not below the original's, or not below what was measured there."""
    rule, new, place = "ripple current", change.candidate, change.place
    needs = [
        (change.original.ripple, change.original.ripple_frequency, "of the original"),
        (place.measured_ripple, place.ripple_frequency, "measured"),
    ]
    known = [(amps, hertz, what) for amps, hertz, what in needs if amps]
    if not known:
        return Row(rule, "info", "not compared: neither the original's nor a measured one is known")
    if new.ripple is None:
        return Row(rule, "cannot tell", "the candidate's is missing")
    shares = []
    for amps, hertz, what in known:
        factor = ripple_factor(new, new.ripple_frequency, hertz)
        if factor is not None:
            share = new.ripple * factor / amps
            shares.append((share, f"{share:.3g} of the {amps:.3g} A {what}"))
    if not shares:
        return Row(rule, "cannot tell", "stated at different frequencies: look up the same one")
    share, text = max(shares)
    cooler = (new.temperature_rating or 0) < (change.original.temperature_rating or 0)
    if cooler and not place.measured_ripple:
        return Row(rule, "cannot tell", f"{text}, but stated for a lower temperature")
    if is_within(1, share):
        return Row(rule, "pass", text)
    if is_within(0.8, share):
        return Row(rule, "marginal", text)
    return Row(rule, "fail", f"{text}, below 80 %")


def check_polarity(change: Exchange) -> Row:
    """No polar part where the voltage may turn round."""
    place = change.place.polarity
    polar = change.original.is_polar() if place is None else place == "polar"
    if change.candidate.is_polar() and (not polar or change.is_mains()):
        return Row("polarity", "fail", "a polar part in a bipolar place")
    if polar and not change.candidate.is_polar():
        return Row("polarity", "pass", "a bipolar part in a polar place")
    return Row("polarity", "pass", "the same")


def check_dielectric(change: Exchange) -> Row:
    """The kind of capacitor: the same or better for this place."""
    old, new, role = change.original.family, change.candidate.family, change.place.role
    text = f"{new} for {old}"
    if new == old or (old, new) == ("ceramic-2", "ceramic-1"):
        return Row("dielectric", "pass", text)
    if change.is_mains() or new == "mains":
        verdict: Verdict = "fail" if change.is_mains() and new != "mains" else "pass"
        return Row("dielectric", verdict, text)
    precise = old in ("ceramic-1", "film")
    if role in _PRECISE_ROLES and precise and (new == "ceramic-2" or new in POLAR_FAMILIES):
        return Row("dielectric", "fail", f"{text}: value moves with voltage and temperature")
    if role == "snubber" and old == "film" and (new in _CERAMIC or new in POLAR_FAMILIES):
        return Row("dielectric", "fail", f"{text}: a film snubber needs a film part")
    if new in _POLYMER:
        return Row("dielectric", "marginal", f"{text}: more leakage, less surge")
    if new == "film" and old != "ceramic-1":
        return Row("dielectric", "pass", f"{text}: better")
    if new == "ceramic-2":
        return Row("dielectric", "marginal", f"{text}: loses capacitance at voltage")
    return Row("dielectric", "marginal", f"{text}: another kind")


def check_safety_class(change: Exchange) -> Row | None:
    """Class, subclass and marked volts in a mains place; None anywhere else."""
    if not change.is_mains():
        return None
    rule, old, new = "safety class", change.original, change.candidate
    wanted, offered = old.classes("original"), new.classes("candidate")
    if new.family != "mains" or not offered:
        return Row(rule, "fail", "no marked X or Y class: nothing else belongs there")
    if not is_within(old.rated_voltage, new.rated_voltage):
        volts = f"{new.rated_voltage:g} V AC for {old.rated_voltage:g} V AC"
        return Row(rule, "fail", f"lower marked voltage: {volts}")
    if not wanted:
        return Row(rule, "cannot tell", "the original's safety class is missing")
    text = f"{_class_text(offered)} for {_class_text(wanted)}"
    if any(offered.get(letter, 9) > subclass for letter, subclass in wanted.items()):
        return Row(rule, "fail", f"{text}: a lower subclass, or another class")
    return Row(rule, "pass", f"{text}, {new.rated_voltage:g} V AC")


def _class_text(classes: dict[str, int]) -> str:
    return "/".join(f"{letter}{subclass}" for letter, subclass in sorted(classes.items()))


def _temperature(change: Exchange) -> float:
    found = change.place.temperature
    return USUAL_TEMPERATURE if found is None else found
