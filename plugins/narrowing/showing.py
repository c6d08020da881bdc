"""A case as blocks: what is left, what to check next and why, and the way out to the sheets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from fixbook.api import (
    DOUBT,
    GOOD,
    BarsBlock,
    Bench,
    Block,
    CautionBlock,
    TableBlock,
    TextBlock,
    Vocabulary,
    sentence,
)

from .ahead import SHEET_MINUTES
from .arithmetic import entropy, expected_minutes, quickest_order, shares
from .belief import NOT_CHECKED, Belief
from .case import Case, Standing
from .choosing import ENOUGH_GAIN, LEAST_GAIN, Check
from .reasons import (
    because,
    changes,
    disagreements,
    footing,
    percent,
    spoken,
    unfit_answers,
)

SHOWN = 6
LEAST_SHOWN = 0.02
UNLISTED = "not in this book"


class Say(NamedTuple):
    """How what can be done next is said; `{}` is the id it is about."""

    sheet: str
    search: str
    unlisted: str
    danger: str


COMMANDS = Say(
    "fixbook sheet {}",
    "fixbook find WORDS",
    "'fixbook find WORDS' searches by symptom; once it is found, 'fixbook write' keeps it for the "
    "next time.",
    "If it has been looked at already, say so with --sign {}=ANSWER.",
)
ON_SCREEN = Say(
    "{}",
    "search with other words",
    "Search with other words; once it is found, a write-up of it helps the next time.",
    "It is offered last, when no safe check tells more.",
)


def opening_blocks(case: Case, vocabulary: Vocabulary, say: Say = COMMANDS) -> list[Block]:
    """Say what is narrowed down, on what footing, and what the words may mean."""
    model = case.model
    name = vocabulary.units[model.unit].name if model.unit in vocabulary.units else model.unit
    count = len(model.faults)
    lines = [f"{count} fault{'s' if count != 1 else ''} in this book. {footing(model)}"]
    if count == 1:
        lines.append(
            "With one fault alone there is little to tell apart: it, or none of this book."
        )
    blocks: list[Block] = [TextBlock(f"Narrowing down: {name}", "\n".join(lines))]
    doubts = [*map(sentence, model.notes), *disagreements(model)]
    blocks += [TextBlock("", one, weight=DOUBT) for one in doubts]
    safe = [one for one in case.proposals if not model.questions[one.sign].sign.hazards]
    rows = tuple((one.wording, model.questions[one.sign].sign.ask) for one in safe)
    if rows:
        note = "Proposed, not assumed: each is asked."
        blocks.append(TableBlock("What the words may mean", ("said as", "sign"), rows, note))
    blocks += [
        TextBlock(
            "",
            f"The words may also mean {one.sign}, which is dangerous to check. "
            + say.danger.format(one.sign),
        )
        for one in case.proposals
        if one not in safe
    ]
    return blocks


def left_blocks(standing: Standing, say: Say = COMMANDS) -> list[Block]:
    """Show the faults that are left, with their chances and their sheets."""
    belief = standing.belief
    faults = belief.model.faults
    shown = [at for at in belief.order if belief.chances[at] >= LEAST_SHOWN][:SHOWN]
    rows = [
        (percent(belief.chances[at]), faults[at].title, say.sheet.format(faults[at].id))
        for at in shown or belief.order[:1]
    ]
    rest = 1.0 - belief.unlisted - sum(belief.chances[at] for at in shown or belief.order[:1])
    hidden = len(faults) - len(rows)
    if hidden:
        rows.append((percent(rest), f"{hidden} others together", ""))
    rows.append((percent(belief.unlisted), UNLISTED, say.search))
    blocks: list[Block] = [TableBlock("Left over", ("chance", "fault", "its sheet"), tuple(rows))]
    bars = [(faults[at].title, belief.chances[at], None, None) for at in shown or belief.order[:1]]
    blocks.append(BarsBlock("", (*bars, (UNLISTED, belief.unlisted, None, None)), told=True))
    blocks += [TextBlock("", one, weight=DOUBT) for one in unfit_answers(belief)]
    silent = [
        sign
        for sign, answer in standing.case.found
        if sign not in belief.model.questions and answer != NOT_CHECKED
    ]
    if silent:
        what = ", ".join(silent)
        blocks.append(TextBlock("", f"No fault of this unit is told apart by {what}."))
    twice = [
        sign
        for sign, _ in standing.case.found
        if sign in belief.model.questions and sign not in belief.counted
    ]
    if twice:
        what = ", ".join(twice)
        blocks.append(TextBlock("", f"Says the same as another answer and counts once: {what}."))
    return blocks


def check_blocks(
    standing: Standing, vocabulary: Vocabulary, *, full: Iterable[str] | None = None
) -> list[Block]:
    """Show the next check: its cautions first, then what it asks and what each answer changes.

    `full` are the hazards whose whole text is to be shown; None is all.
    """
    check = standing.checks[0]
    sign = check.question.sign
    blocks: list[Block] = [*cautions(check.hazards, vocabulary, full)]
    lines = [sign.ask, f"({sign.id}, {_cost(check)}; {_worth(check, standing.belief)})"]
    proposal = standing.case.proposal(sign.id)
    if proposal:
        lines.append(f'Proposed from the complaint, as "{proposal.wording}".')
    if check.hazards:
        lines.append(
            f"It is dangerous; what is gained by it are {check.gain:.2f} bits, and no safe check"
            f" is left that tells {ENOUGH_GAIN:g}."
        )
    blocks.append(TextBlock("Next check", "\n".join(lines)))
    blocks.append(changes_block(standing.belief, check))
    return blocks


def changes_block(belief: Belief, check: Check) -> TableBlock:
    """Show what each answer of a check would change."""
    rows = tuple(
        (spoken(answer), percent(likely), _likeliest(after))
        for answer, likely, after in changes(belief, check.question)
    )
    columns = ("answer", "expected", "likeliest then")
    return TableBlock("What each answer would change", columns, rows)


def stop_blocks(standing: Standing, say: Say = COMMANDS) -> list[Block]:
    """Say at the stop what remains, and which sheet to open."""
    belief = standing.belief
    if standing.sure and belief.unlisted == max(belief.chances):
        text = f"{percent(belief.unlisted)}: the fault is {UNLISTED}. {say.unlisted}"
        return [TextBlock("Stop", text, weight=DOUBT)]
    if not belief.model.faults:
        return [TextBlock("Stop", "There is nothing to narrow down.", weight=DOUBT)]
    first = belief.model.faults[belief.order[0]]
    if standing.sure:
        chance = percent(belief.chances[belief.order[0]])
        text = f"{chance}: {sentence(first.title)} Open its sheet: {say.sheet.format(first.id)}"
        return [TextBlock("Stop", text, weight=GOOD)]
    return [_undecided(belief, say)]


def _undecided(belief: Belief, say: Say) -> Block:
    """Say in which order to open the sheets when no check tells them apart any more."""
    places = [at for at in belief.order if belief.chances[at] >= LEAST_SHOWN][:SHOWN]
    places = places or belief.order[:1]
    chances = shares([belief.chances[at] for at in places])
    minutes = [float(belief.model.faults[at].minutes or SHEET_MINUTES) for at in places]
    order = quickest_order(chances, minutes)
    rows = tuple(
        (
            percent(belief.chances[places[at]]),
            f"{minutes[at]:.0f} min",
            say.sheet.format(belief.model.faults[places[at]].id),
        )
        for at in order
    )
    whole = expected_minutes(order, chances, minutes)
    note = (
        f"No check is left that tells {LEAST_GAIN:g} bit. Opened in this order the right sheet is"
        f" found and worked through in {whole:.0f} minutes on average, if it is one of these."
    )
    return TableBlock(
        "Stop: what remains, quickest first", ("chance", "takes", "sheet"), rows, note
    )


def why_blocks(standing: Standing, most: int = 3) -> list[Block]:
    """Say why this check comes next, and what the chances rest on."""
    belief = standing.belief
    blocks: list[Block] = []
    if standing.checks:
        rows = tuple(
            (
                check.question.id,
                f"{check.gain:.2f}",
                f"{check.minutes:g}",
                f"{check.rate:.2f}",
                kind,
            )
            for check in standing.checks[:SHOWN]
            for kind in (", ".join(check.hazards) or _asked(check),)
        )
        columns = ("check", "bits", "minutes", "bits a minute", "")
        note = (
            "Signs of the complaint come first, then questions to the customer that tell enough,"
            " then the most bits a minute. Where few faults are left the best are played out to"
            " the end, and the one that gets to the sheet soonest goes first. A dangerous check"
            f" is offered only when no safe one tells {ENOUGH_GAIN:g} bit."
        )
        blocks.append(TableBlock("Why this check", columns, rows, note))
    for at in belief.order[:most]:
        title = f"{percent(belief.chances[at])}: {belief.model.faults[at].title}"
        blocks.append(TextBlock(title, "\n".join(because(belief, at))))
    return blocks


def cautions(
    hazards: Sequence[str], vocabulary: Vocabulary, full: Iterable[str] | None = None
) -> list[CautionBlock]:
    """Give the cautions of a check, their whole text where it is asked for."""
    whole = None if full is None else set(full)
    blocks = []
    for name in hazards:
        hazard = vocabulary.hazards.get(name)
        short = hazard.short.strip() if hazard else f"Danger: {name}. Find out more first."
        text = hazard.full.strip() if hazard and (whole is None or name in whole) else ""
        blocks.append(CautionBlock(name, short, text))
    return blocks


def _cost(check: Check) -> str:
    return f"{check.minutes:g} min{_asked(check) and ', ' + _asked(check)}"


def _asked(check: Check) -> str:
    return "the customer can say" if check.question.sign.customer else ""


def _worth(check: Check, belief: Belief) -> str:
    return f"tells {check.gain:.2f} of the {entropy(belief.chances):.2f} bits that are open"


def _likeliest(after: Belief) -> str:
    names = [*(fault.id for fault in after.model.faults), UNLISTED]
    order = sorted(range(len(names)), key=lambda at: (-after.chances[at], at))[:2]
    return ", ".join(f"{names[at]} {percent(after.chances[at])}" for at in order)


def sheet_blocks(bench: Bench, id: str) -> list[Block]:
    """Give a whole sheet with its title."""
    entry = bench.entry(id)
    under = ", ".join(one for one in (entry.id, entry.unit, entry.section) if one)
    return [TextBlock(entry.title, under), *bench.sheet(id)]
