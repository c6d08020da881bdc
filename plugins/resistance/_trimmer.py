"""A trimmer held against its service window, and the next settings to try."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from fixbook.api import (
    LASER_LIGHT,
    MEMORY,
    OHMS,
    PRACTICE,
    Answer,
    CalculationError,
    Entry,
    FixbookError,
    Guarded,
    Ohms,
    OhmSpan,
    Part,
    ScaleBlock,
    Source,
    Span,
    Target,
    Value,
    above,
    calculator,
    guarded,
    read_range,
    show,
)

from ._accuracy import Accuracy
from ._path import in_parallel
from ._steps import MOST, Plan, TooManyError, explore, plan_to

_LESS_IS_MORE = (
    "On many optical drives a lower trimmer resistance means more laser current (common practice, "
    "no source): more hazard to eyes and a shorter life of the diode. Approach slowly, prefer the "
    "end of the window with less current, and never go past the window to make it read."
)
_SUSPECT = "suspect the wrong board revision, a parallel path, or a broken wiper"
_USUAL_STEP = Span(25.0, 50.0)
MOST_DRAWN = 12
"""Settings in the drawing; all of them are among the answers."""
_SHARE = 0.01
"""Of the present reading, where no uncertainty is given."""

Mode = Literal["to-goal", "explore-up", "explore-down"]


def _fits(where: Target | Part, entry: Entry) -> Mapping[str, str] | None:
    """Fill in the step of a trimmer that is adjusted in steps, and its window where it has one.

    Where a write-up leaves the window to the service data, or states several, it is typed.
    """
    if not isinstance(where, Target) or where.reads != "ohms" or where.step is None:
        return None
    texts = {"step": where.step.text}
    if len(where.windows) == 1:
        texts = {"window": where.windows[0].text} | texts
    try:
        spans = {name: read_range(text, OHMS) for name, text in texts.items()}
    except FixbookError:
        return None
    step, window = spans["step"], spans.get("window")
    most = 10e6 if window is None else window.highest - window.lowest
    rising = window is None or 0 < window.lowest < window.highest <= 10e6
    return texts if rising and 0 < step.lowest <= step.highest <= most else None


@calculator(
    "trimmer-steps",
    formula="accepted from low + U to high - U;  distance D = abs(goal - present);  "
    "n = ceil(D/largest step) equal steps of D/n;  no move where D <= max(U, smallest step/2);  "
    "in circuit the window is low R/(low + R) .. high R/(high + R) with R the parallel path",
    sources=[
        Source("JCGM 106:2012, 8.3.2 and 8.3.3, guarded acceptance", MEMORY),
        Source("ILAC-G8:09/2019, 4.1 and 4.2, guard band"),
        Source("windows of 450 to 600 ohm and 150 to 250 ohm, steps of 25 to 50 ohm", PRACTICE),
    ],
    cautions=[LASER_LIGHT, _LESS_IS_MORE],
    gives={
        "centre": "middle of the window",
        "to_centre": "distance of the present reading from it",
        "to_limit": "distance of the present reading from the nearer limit",
        "accept_low": "readings from here up are surely inside the window",
        "accept_high": "readings up to here are surely inside the window",
        "targets": "settings to try, one after the other, with a retest after each",
        "way_back": "the original reading: set this to undo everything",
    },
    fits=_fits,
)
def trimmer_steps(
    window: Annotated[OhmSpan, "service window from the write-up", above(0, 10e6)],
    original: Annotated[Ohms, "reading before anything was moved, written down first", above(0)],
    present: Annotated[Ohms | None, "reading now; the original one unless given", above(0)] = None,
    uncertainty: Annotated[
        Ohms | None, "expanded uncertainty, coverage 2; 1 % of the present reading", above(0)
    ] = None,
    step: Annotated[OhmSpan, "smallest and largest move", PRACTICE, above(0)] = _USUAL_STEP,
    goal: Annotated[Ohms | None, "reading to aim for; the centre unless given", above(0)] = None,
    mode: Annotated[Mode, "go to the goal, or look for what works"] = "to-goal",
    parallel: Annotated[Ohms | None, "resistance across it in circuit", above(0)] = None,
    meter: Annotated[Accuracy | None, "accuracy of the meter, instead of uncertainty"] = None,
    board_revision: Annotated[str | None, "label only: a window belongs to one revision"] = None,
) -> Answer:
    """Is this trimmer inside its service window, and what to set next without leaving it?

    Write the original reading down first: it is the way back. Power off and capacitors
    discharged before measuring, then wait for a stable reading. Measure at the write-up's
    points, not across the trimmer by guess. In circuit a pure resistor network can only make
    the reading too low; where junctions lie across it the polarity of the meter matters, so
    swap the leads and compare. With the parallel path given the window is turned into what
    the meter shows in circuit, and everything else here is an in-circuit reading too.

    Move one setting, retest, and stop at the first one that works. Old trimmers jump: move
    through the range once only if the write-up says so. A window belongs to one board revision
    and is never carried over. As common practice, without a source: one optical-drive board
    revision is set at about 450 to 600 ohm, another at about 150 to 250 ohm, moved 25 to 50 ohm
    at a time.

    Example: window 450..600 ohm, reading 640 ohm, uncertainty 5 ohm: high; set 601.7, 563.3,
    then 525 ohm, with a retest after each.
    """
    seen = _in_circuit(window, parallel)
    now = present if present is not None else original
    expanded, assumptions = _uncertainty(now, uncertainty, meter)
    if window.high <= window.low:
        raise _refused("window", _span(window), "a range that rises")
    if step.high > window.high - window.low:
        raise _refused("step", _span(step), "no larger than the window is wide")
    found = guarded(now, seen.low, seen.high, expanded / 2)
    centre = (seen.low + seen.high) / 2
    far = max(seen.low - now, now - seen.high) > seen.high - seen.low
    notes = [f"the original reading was {show(original, OHMS, digits=5)}: write it down first"]
    if board_revision:
        notes.append(f"for board revision {board_revision} alone")
    if parallel is not None:
        notes.append(
            f"with {show(parallel, OHMS)} across it the window reads {_span(seen)} in circuit; "
            "everything here is an in-circuit reading"
        )
    if far:
        plan, why_none = Plan((), 0.0), f"no plan: {_SUSPECT}"
    elif found.too_coarse:
        plan, why_none = Plan((), 0.0), "this meter cannot judge this window"
    else:
        aim = _goal(goal, centre, found)
        plan, why_none = _plan(now, aim, found, expanded, step, mode)
        if goal is None and mode == "to-goal":
            assumptions.append(f"goal taken as the centre, {show(aim, OHMS)}")
    if plan.targets:
        notes.append("retest after each setting and stop at the first that works")
        if plan.step < step.low * (1 - 1e-9):
            notes.append(f"step shorter than usual: {show(plan.step, OHMS)}")
    notes.append(f"to go back: set {show(original, OHMS, digits=5)}")
    return Answer(
        [
            Value("centre", centre, OHMS, digits=5),
            Value("to_centre", abs(now - centre), OHMS, digits=5),
            Value("to_limit", min(abs(now - seen.low), abs(now - seen.high)), OHMS, digits=5),
            _end("accept_low", found.accept_low, found),
            _end("accept_high", found.accept_high, found),
            Value("targets", list(plan.targets), OHMS, digits=5, text=why_none),
            Value("way_back", original, OHMS, digits=5),
        ],
        verdict=found.verdict,
        word=found.word,
        why=found.why(OHMS) + (f"; {why_none}" if far else ""),
        assumptions=assumptions,
        notes=notes,
        drawings=[_drawn(now, seen, expanded, plan)],
    )


def _drawn(now: float, seen: Span, expanded: float, plan: Plan) -> ScaleBlock:
    """Draw the window with its guard bands, the present reading, and the first settings to try."""
    window = (seen.low, seen.high, _span(seen))
    steps = plan.targets[:MOST_DRAWN]
    return ScaleBlock("On its scale", OHMS.name, (window,), (("present", now, expanded),), steps)


def _in_circuit(window: Span, parallel: float | None) -> Span:
    """Give the window as the meter shows it with the parallel path across the trimmer."""
    if parallel is None:
        return window
    seen = Span(in_parallel(window.low, parallel), in_parallel(window.high, parallel))
    if seen.high - seen.low <= 1e-6 * seen.high:
        wanted = "large enough to leave something of the window in circuit"
        raise _refused("parallel", show(parallel, OHMS), wanted)
    return seen


def _uncertainty(
    now: float, uncertainty: float | None, meter: Accuracy | None
) -> tuple[float, list[str]]:
    if uncertainty is not None and meter is not None:
        raise CalculationError(
            "uncertainty and meter say the same thing; give one of them", input="meter"
        )
    if meter is not None:
        expanded = meter.expanded(now, OHMS)
        return expanded, [f"uncertainty of {show(expanded, OHMS)} from the meter's accuracy"]
    if uncertainty is None:
        expanded = _SHARE * now
        return expanded, [f"uncertainty taken as 1 % of the reading, {show(expanded, OHMS)}"]
    return uncertainty, []


def _goal(goal: float | None, centre: float, found: Guarded) -> float:
    low, high = found.accept_low, found.accept_high
    if goal is None or low is None or high is None or low <= goal <= high:
        return centre if goal is None else goal
    wanted = f"inside what is accepted, {_span(Span(low, high))}"
    raise _refused("goal", show(goal, OHMS, digits=5), wanted)


def _plan(
    now: float, goal: float, found: Guarded, expanded: float, step: Span, mode: Mode
) -> tuple[Plan, str]:
    """Give the plan, and where it has no setting the reason for that."""
    low, high = found.accept_low or 0.0, found.accept_high or 0.0
    try:
        if mode == "to-goal":
            if abs(goal - now) <= max(expanded, step.low / 2):
                away = show(abs(goal - now), OHMS)
                return Plan((), 0.0), f"no move: {away} from the goal is near enough"
            return plan_to(now, goal, step.high), ""
        up = mode == "explore-up"
        plan = explore(now, low, high, step.low, up=up)
    except TooManyError as error:
        wanted = f"so large that at most {MOST} settings lie in the window, not {error}"
        raise _refused("step", _span(step), wanted) from error
    way = "up" if up else "down"
    return plan, "" if plan.targets else f"no setting is left to explore going {way}"


def _end(name: str, value: float | None, found: Guarded) -> Value:
    if found.too_coarse:
        return Value(name, None, OHMS, text="none: this meter cannot judge this window")
    return Value(name, value, OHMS, digits=6)


def _span(span: Span) -> str:
    return f"{show(span.low, OHMS, digits=5)} .. {show(span.high, OHMS, digits=5)}"


def _refused(name: str, text: str, wanted: str) -> CalculationError:
    return CalculationError(f"{name} is {text}; it has to be {wanted}", input=name, read=text)
