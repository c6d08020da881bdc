"""Rules for a replacement that concern heat, time and room.

Limits without another source are common practice of the trade.
"""

from __future__ import annotations

from fixbook.api import MEMORY

from ._electrical import Row
from ._endurance import Conditions
from ._policies import is_within
from ._records import Exchange

_COOL_PLACE = 55.0
_POLYMER = ("aluminium-polymer", "tantalum-polymer")
_MM = 1e3
# Room above the vent in mm by can diameter in mm; from memory. Smaller cans have no vent.
_VENT = ((6.3, 0.0), (16.0, 2.0), (35.0, 3.0), (float("inf"), 5.0))


def check_temperature(change: Exchange) -> Row:
    """Temperature rating not below the original's."""
    old, new = change.original.temperature_rating, change.candidate.temperature_rating
    rule, place = "temperature", change.place.temperature
    if old is None:
        return Row(rule, "info", "not compared: the original's is not known")
    if new is None:
        return Row(rule, "cannot tell", "the candidate's is missing")
    text = f"{new:g} degC for {old:g} degC"
    if new >= old:
        return Row(rule, "pass", text)
    if new >= 85 and place is not None and place < _COOL_PLACE:
        return Row(rule, "marginal", f"{text} in a place at {place:g} degC")
    return Row(rule, "fail", f"{text}: lower, and not known to be below 55 degC there")


def check_endurance(change: Exchange) -> Row:
    """Endurance not below the original's, at the original's temperature."""
    old, new, rule = change.original, change.candidate, "endurance"
    if old.endurance is None or old.temperature_rating is None:
        return Row(rule, "info", "not compared: the original's, or its temperature, is not known")
    if new.endurance is None or new.temperature_rating is None:
        return Row(rule, "cannot tell", "the candidate's, or its temperature, is missing")
    model = "polymer" if new.family in _POLYMER else "ten-degree"
    rated = Conditions(model, new.endurance, new.temperature_rating, 0, 5, 1)
    hours, wanted = rated.life(old.temperature_rating) / 3600, old.endurance / 3600
    text = f"{hours:.4g} h for {wanted:.4g} h at {old.temperature_rating:g} degC"
    if is_within(wanted, hours):
        return Row(rule, "pass", text)
    if is_within(wanted / 2, hours):
        return Row(rule, "marginal", f"{text}: half to the whole")
    return Row(rule, "fail", f"{text}: less than half")


def check_size(change: Exchange) -> Row:
    """Room for the body, and for its vent."""
    new, place, rule = change.candidate, change.place, "size"
    sides = [
        ("diameter", new.diameter, place.free_diameter, change.original.diameter),
        ("height", new.height, place.free_height, change.original.height),
    ]
    known = [side for side in sides if side[2] is not None or side[3] is not None]
    if not known:
        return Row(rule, "info", "not compared: neither the room nor the original's size is known")
    for name, offered, free, old in known:
        if offered is None:
            return Row(rule, "cannot tell", f"the candidate's {name} is missing")
        if free is not None and not is_within(offered, free):
            return Row(rule, "fail", f"{name} {_mm(offered)}, room for {_mm(free)}")
        if free is None and old is not None and not is_within(offered, old):
            text = f"{name} {_mm(offered)} for {_mm(old)}"
            return Row(rule, "cannot tell", f"{text}: larger, measure the room")
    vent = _vent_row(change)
    return vent or Row(rule, "pass", f"{' and '.join(side[0] for side in known)} fit")


def check_pitch(change: Exchange) -> Row:
    """Lead spacing and lead thickness."""
    old, new, place, rule = change.original, change.candidate, change.place, "pitch"
    lead, hole = new.lead_diameter, place.hole
    if lead is not None and hole is not None and not is_within(lead, hole):
        return Row(rule, "fail", f"lead of {_mm(lead)}, hole of {_mm(hole)}")
    wanted = place.pitch if place.pitch is not None else old.pitch
    if wanted is None:
        return Row(rule, "info", "not compared: neither the holes nor the original's is known")
    if new.pitch is None:
        return Row(rule, "cannot tell", "the candidate's is missing")
    thicker = lead is not None and old.lead_diameter is not None and lead > old.lead_diameter
    if thicker and hole is None:
        return Row(rule, "cannot tell", "thicker leads than the original: measure the hole")
    off = abs(new.pitch - wanted)
    text = f"{_mm(new.pitch)} for {_mm(wanted)}"
    if is_within(off, 0.5e-3):
        return Row(rule, "pass", text)
    if is_within(off, 2.5e-3):
        return Row(rule, "marginal", f"{text}: form the leads, {off * _MM:.1f} mm")
    return Row(rule, "fail", f"{text}: {off * _MM:.1f} mm is too much to form")


def _vent_row(change: Exchange) -> Row | None:
    new, free = change.candidate, change.place.free_height
    if new.family != "aluminium" or new.height is None or new.diameter is None or free is None:
        return None
    millimetres = new.diameter * _MM
    needed = 0.0
    if millimetres >= _VENT[0][0] * (1 - 1e-9):
        needed = next(mm for size, mm in _VENT[1:] if is_within(millimetres, size))
    clearance = (free - new.height) * _MM
    if is_within(needed, clearance):
        return None
    text = f"{clearance:.1f} mm above the vent, {needed:g} mm wanted ({MEMORY})"
    return Row("size", "marginal", text)


def _mm(length: float) -> str:
    return f"{length * _MM:.3g} mm"
