"""What holds one fuse against another, and against a load.

Nothing here works out a rating of one standard from that of the other: they mean different things.
"""

from __future__ import annotations

from dataclasses import dataclass

from fixbook.api import AMPS, VOLTS, Verdict, show

from ._marking import BREAKING, CHARACTERISTICS, Marking

UL, IEC = "UL 248-14", "IEC 60127-2"
UL_CONTINUOUS = 0.75
# Ratings that are sold, from memory.
UL_RATINGS = (
    0.1, 0.125, 0.2, 0.25, 0.3, 0.375, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12,
    15, 20, 25, 30,
)  # fmt: skip
IEC_RATINGS = (
    0.032, 0.04, 0.05, 0.063, 0.08, 0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1,
    1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3,
)  # fmt: skip
# Multiples of the rated current, from the highest: what a fuse does from there on.
_UL_DOES = (
    (2.0, "opens within 2 min"),
    (1.35, "opens within 1 h"),
    (1.0, "may carry it or open: 135 % must open within 1 h"),
)
_IEC_DOES = (
    (10.0, "opens within 0.02 s"),
    (4.0, "opens in 0.01 to 0.3 s"),
    (2.75, "opens in 0.05 to 2 s"),
    (2.1, "opens within 30 min"),
    (1.5, "may carry it or open: 210 % must open within 30 min"),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One rule and what it says."""

    rule: str
    verdict: Verdict
    why: str
    needed: float | None = None
    standard_rating: float | None = None


def compare(original: Marking, offered: Marking) -> list[Row]:
    """Hold an offered fuse against the original, rule by rule."""
    mixed = {original.standard, offered.standard} == {"IEC", "UL"}
    rows = [
        _current(original, offered),
        _characteristic(original.characteristic, offered.characteristic, mixed=mixed),
        _breaking(original.breaking, offered.breaking, mixed=mixed),
        _voltage(original.volts, offered.volts),
        _standard(original.standard, offered.standard),
    ]
    if original.size and offered.size:
        same = original.size == offered.size
        why = f"{offered.size} mm against {original.size} mm"
        rows.append(Row("size", "pass" if same else "fail", why + ("" if same else ": no fit")))
    return rows


def behaviour(fuse: Marking, load: float) -> list[Row]:
    """Say what a fuse does with a load, by its own standard, or by both where it states none."""
    ratio = load / fuse.amps
    what = f"{ratio * 100:.4g} % of {show(fuse.amps, AMPS)}"
    rows = []
    if fuse.standard != "IEC":
        carries = "carries it" + ("" if ratio <= UL_CONTINUOUS else "; 75 % is advised for long")
        rows.append(Row(UL, "info", f"{what}: {_does(ratio, _UL_DOES, carries)}"))
    if fuse.standard != "UL":
        holds = "carries it" if ratio <= 1 else "may carry it for 1 h and more"
        rows.append(Row(IEC, "info", f"{what}: {_does(ratio, _IEC_DOES, holds)}"))
    return rows


def select(load: float) -> list[Row]:
    """Give the ratings for a new circuit by either standard."""
    return [
        _selection(UL, load / UL_CONTINUOUS, UL_RATINGS, "75 % of the rating is advised for long"),
        _selection(IEC, load, IEC_RATINGS, "up to 100 % of the rating is allowed"),
    ]


def _selection(rule: str, needed: float, ratings: tuple[float, ...], reason: str) -> Row:
    found = next((one for one in ratings if one >= needed * (1 - 1e-9)), None)
    take = f"take {show(found, AMPS)}" if found else "above the ratings listed here"
    return Row(rule, "info", f"at least {show(needed, AMPS)}: {take}; {reason}", needed, found)


def _does(ratio: float, steps: tuple[tuple[float, str], ...], otherwise: str) -> str:
    lowest = steps[-1][0]
    for multiple, text in steps:
        # a fuse carries its own limit of carrying, and opens at its limit of opening
        if ratio > multiple * (1 + 1e-9) or (multiple != lowest and ratio >= multiple * (1 - 1e-9)):
            return text
    return otherwise


def _current(original: Marking, offered: Marking) -> Row:
    what = f"{show(offered.amps, AMPS)} against {show(original.amps, AMPS)}"
    if abs(offered.amps - original.amps) <= 1e-6 * original.amps:
        return Row("rated current", "pass", what)
    if offered.amps > original.amps:
        return Row("rated current", "fail", f"{what}: never a higher rating")
    return Row("rated current", "fail", f"{what}: it would blow at the normal current")


def _characteristic(original: str | None, offered: str | None, *, mixed: bool) -> Row:
    if original is None or offered is None:
        return _unstated_row("characteristic", original, offered, mixed=mixed)
    what = f"{offered} against {original}"
    if original == offered:
        return Row("characteristic", "pass", what)
    if CHARACTERISTICS.index(offered) > CHARACTERISTICS.index(original):
        return Row("characteristic", "fail", f"{what}: slower, a fault current flows for longer")
    return Row("characteristic", "fail", f"{what}: quicker, nuisance blowing at switch-on")


def _breaking(original: str | None, offered: str | None, *, mixed: bool) -> Row:
    if offered == BREAKING[-1] and original is None:
        return Row("breaking capacity", "pass", "H is the highest there is")
    if original is None or offered is None:
        return _unstated_row("breaking capacity", original, offered, mixed=mixed)
    what = f"{offered} against {original}"
    if BREAKING.index(offered) < BREAKING.index(original):
        return Row("breaking capacity", "fail", f"{what}: lower, it may burst on a short")
    return Row("breaking capacity", "pass", what)


def _voltage(original: float | None, offered: float | None) -> Row:
    if original is None or offered is None:
        return Row("voltage", "cannot tell", _unstated(original, offered))
    what = f"{show(offered, VOLTS)} against {show(original, VOLTS)}"
    if offered < original:
        return Row("voltage", "fail", f"{what}: lower, an arc may not go out")
    return Row("voltage", "pass", what)


def _standard(original: str | None, offered: str | None) -> Row:
    if original is None or offered is None:
        return Row("standard", "cannot tell", _unstated(original, offered))
    if original != offered:
        why = f"{offered} against {original}: ratings are not interchangeable"
        return Row("standard", "marginal", why)
    return Row("standard", "pass", f"both {original}")


def _unstated_row(rule: str, original: str | None, offered: str | None, *, mixed: bool) -> Row:
    """Only one of two standards has letters for it, so a missing one is no open question there."""
    if mixed:
        return Row(rule, "marginal", "the two standards state it differently: compare the sheets")
    return Row(rule, "cannot tell", _unstated(original, offered))


def _unstated(original: object, offered: object) -> str:
    who = (
        "neither states it"
        if original is None and offered is None
        else (
            "the original does not state it"
            if original is None
            else "the offered one does not state it"
        )
    )
    return f"{who}: look at the caps and at what is printed beside the holder"
