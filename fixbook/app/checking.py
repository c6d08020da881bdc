"""A reading held against a write-up's target: the verdict for each stated window."""

from __future__ import annotations

import math

from fixbook.app.sheets import window_text
from fixbook.core.entry import Entry, Target
from fixbook.core.problems import did_you_mean, sentence
from fixbook.core.quantity import show
from fixbook.core.reading import read
from fixbook.core.sheet import BAD, DOUBT, GOOD, Block, ReadingBlock, ScaleBlock
from fixbook.core.shop import Meter, Shop
from fixbook.core.verdict import guarded
from fixbook.errors import QueryError

WEIGHTS = {"pass": GOOD, "fail": BAD, "cannot tell": DOUBT}


def check_reading(entry: Entry, said: str, shop: Shop) -> list[ReadingBlock]:
    """Judge `name=reading` against the target of that name; one block for each window.

    The name may be any unique part of a target's. QueryError or QuantityError where it cannot
    be judged. The window is guarded by the meter's accuracy where the shop states it.
    """
    name, equals, text = said.partition("=")
    if not equals or not text.strip():
        raise QueryError(
            f"{said!r} is no reading of a target",
            input="--check",
            read=said,
            hint="write 'name=reading', as in 'contact resistance=40 mohm'",
        )
    target = _target(entry, name)
    quantity = read(text.strip(), target.kind, name=target.name)
    if not target.windows:
        raise QueryError(
            f"the target {target.name!r} of {entry.id} states no window",
            input="--check",
            read=said,
            hint=target.note,
        )
    meter = shop.meter_for(target.reads, quantity.value)
    return [_judge(target, at, quantity.value, meter) for at in range(len(target.windows))]


def check_on_scale(entry: Entry, said: str, shop: Shop) -> list[Block]:
    """Judge `name=reading`, and show it on the scale of its windows; errors as above."""
    judged = check_reading(entry, said, shop)
    name, _, text = said.partition("=")
    target = _target(entry, name)
    value = read(text.strip(), target.kind, name=target.name).value
    meter = shop.meter_for(target.reads, value)
    band = 2 * standard_uncertainty(meter, value)  # as `guarded` moves its limits
    windows = tuple(
        (one.low, one.high, window_text(target, one) + (f" ({one.says})" if one.says else ""))
        for one in target.windows
    )
    reading = ("reading", value, band)
    return [*judged, ScaleBlock("", target.kind.name, windows, (reading,))]


def standard_uncertainty(meter: Meter | None, reading: float) -> float:
    """Give a meter's standard uncertainty for a reading; 0 where no meter is stated.

    The limit is taken as rectangular: u = (percent of reading + counts) / sqrt(3)
    (JCGM 100:2008, 4.3.7; clause from memory).
    """
    if meter is None:
        return 0.0
    limit = abs(reading) * meter.percent / 100 + meter.counts * meter.resolution
    return limit / math.sqrt(3)


def _target(entry: Entry, name: str) -> Target:
    wanted = " ".join(name.lower().split())
    names = [target.name for target in entry.targets]
    exact = [one for one in entry.targets if one.name.lower() == wanted]
    found = exact or [one for one in entry.targets if wanted and wanted in one.name.lower()]
    if len(found) == 1:
        return found[0]
    if not names:
        why = f"{entry.id} has no target to check against"
    elif found:
        why = f"{name!r} could be {' or '.join(repr(one.name) for one in found)}"
    else:
        otherwise = f"it has {', '.join(names)}"
        why = f"{entry.id} has no target {name!r}; {did_you_mean(name, names, otherwise=otherwise)}"
    raise QueryError(why, input="--check", read=name, choices=names)


def _judge(target: Target, at: int, reading: float, meter: Meter | None) -> ReadingBlock:
    window = target.windows[at]
    found = guarded(reading, window.low, window.high, standard_uncertainty(meter, reading))
    who = f" ({window.says})" if window.says else ""
    heading = f"{target.name}, {show(reading, target.kind, digits=6)}"
    why = f"{sentence(found.why(target.kind))} The window is {window_text(target, window)}{who}."
    if meter is None:
        why += " The meter's accuracy is not stated in fixbook.toml, so it is not allowed for."
    return ReadingBlock(heading, found.verdict, found.word or "", why, WEIGHTS[found.verdict])
