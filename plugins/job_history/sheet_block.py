"""What past jobs add to an entry's sheet, and the line they add to its results."""

from __future__ import annotations

import time
from collections.abc import Iterable
from datetime import date, datetime

from fixbook.api import DOUBT, BarsBlock, Bench, Block, Entry, PanelBlock, TextBlock, sentence

from .digest import Digest
from .figures import Figures, known_or_none
from .learnt import summed_up
from .rates import Rates, minutes_words, rate_words, rates
from .statistics import FEWEST

MOST_MODELS = 5
HEADING = "Past jobs"


def blocks(bench: Bench, entry: Entry) -> list[Block]:
    """Give the block of an entry; nothing where no job had it."""
    kept, why = known_or_none(bench)
    if why:
        return [TextBlock(HEADING, sentence(f"They cannot be shown: {why}"), weight=DOUBT)]
    if kept is None:
        return []
    found = kept.digest((entry.id, *entry.aliases))
    added: list[Block] = []
    if found.seen:
        counted = rates(entry.id, found, date.today())
        values = told(found, counted)
        added.append(PanelBlock(HEADING, values, age_words(kept)))
        added += bars([("fixes that held", counted)])
    if found.readings:
        from .learning import table

        added.append(table(entry, summed_up(found.readings), "Learnt readings"))
    return added


def bars(counted: Iterable[tuple[str, Rates]]) -> list[Block]:
    """Draw the rates of which there are enough jobs, with their intervals; the words are beside."""
    drawn = tuple(
        (name, one.fix_rate.value, one.fix_rate.low, one.fix_rate.high)
        for name, one in counted
        if one.fix_rate is not None
    )
    return [BarsBlock("", drawn, told=True)] if drawn else []


def told(found: Digest, counted: Rates) -> dict[str, str]:
    """Give the figures by name; below FEWEST jobs the counts alone."""
    counts = {
        "seen here": str(counted.seen),
        "fixed": str(counted.fixed),
        "of these returned": str(counted.returned),
        "improved": str(counted.improved),
        "not fixed": str(counted.not_fixed),
        "fixed, warranty running": str(counted.in_warranty),
    }
    always = ("seen here", "fixed", "of these returned")
    values = {name: text for name, text in counts.items() if name in always or text != "0"}
    if counted.seen >= FEWEST:
        values["fixes that held"] = rate_words(counted.fix_rate)
        values["time at the bench"] = minutes_words(counted)
        models = ", ".join(f"{model} ({count})" for model, count in found.models[:MOST_MODELS])
        more = len(found.models) - MOST_MODELS
        values["models"] = models + (f", {more} more" if more > 0 else "")
    named = (
        ", ".join(word for word in (f"job {number}", day, model, outcome) if word)
        for number, day, model, outcome in found.last
    )
    values["last"] = "; ".join(named)
    return {name: text for name, text in values.items() if text}


def summary(bench: Bench, entry: Entry) -> str:
    """Say in a line what past jobs say; empty where there are none or they cannot be read."""
    kept, _ = known_or_none(bench)
    found = kept.digest((entry.id, *entry.aliases)) if kept else Digest()
    if not found.seen:
        return ""
    counted = rates(entry.id, found, date.today())
    times = "once" if counted.seen == 1 else f"{counted.seen} times"
    rate = f", {rate_words(counted.fix_rate)}" if counted.fix_rate else ""
    return f"seen here {times}{rate}"


def age_words(kept: Figures) -> str:
    """Say of when the figures of a shared database are; empty where they are of now."""
    if kept.age_s is None:
        return ""
    if not kept.age_s < float("inf"):
        return "From the shared jobs; being refreshed."
    when = datetime.fromtimestamp(time.time() - kept.age_s)
    return f"From the shared jobs as they were on {when:%Y-%m-%d at %H:%M}."
