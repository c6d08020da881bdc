"""Sums that fit a write-up's targets and parts, and what `calc:` links open."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterable, Mapping, Sequence

from fixbook.api import (
    Bench,
    Block,
    CalculationError,
    Entry,
    Finding,
    FixbookError,
    IndexFields,
    Link,
    LinkScheme,
    LinkTarget,
    PanelBlock,
    Part,
    ProofRule,
    Target,
    hook,
    links_in,
    read_link,
    read_typed,
)

DERATING = "voltage-derating"


@hook
def fixbook_sheet_blocks(bench: Bench, entry: Entry) -> list[Block]:
    """Offer each calculator that fits a target or a part, filled in from it."""
    sums: dict[str, str] = {}
    fitting: tuple[Target | Part, ...] = (*entry.targets, *entry.parts)
    for one in fitting:
        name = one.name if isinstance(one, Target) else f"{one.at}, {one.is_}"
        for calculator in bench.calculators():
            inputs = calculator.fits(one, entry) if calculator.fits else None
            if inputs:
                sums[f"{name}: {calculator.question}"] = command(calculator.name, inputs)
    return [PanelBlock("Sums that fit, filled in as far as this sheet goes", sums)] if sums else []


@hook
def fixbook_link_schemes() -> list[LinkScheme]:
    """Open `calc:` links as the command they stand for."""
    return [LinkScheme("calc", resolve)]


@hook
def fixbook_index_fields(entry: Entry) -> IndexFields | None:
    """Let results be counted by the calculators that a write-up links to."""
    links = (read_link(target) for *_, target in links_in(entry.body))
    names = dict.fromkeys(link.name for link in links if link.scheme == "calc")
    return IndexFields(facets={"calculator": tuple(names)}) if names else None


@hook
def fixbook_proof_rules() -> list[ProofRule]:
    """Check `calc:` links, and rated voltages against the rails that a write-up states."""
    return [ProofRule("calculator-link", check_links), ProofRule("rating", check_ratings)]


def command(name: str, inputs: Mapping[str, str]) -> str:
    """Give the command line of a calculation, quoted where a shell needs it."""
    words = (shlex.quote(f"{key}={text}") for key, text in inputs.items())
    return " ".join(["fixbook calc", name, *words])


def resolve(bench: Bench, link: Link) -> LinkTarget:
    """Give what a `calc:` link opens; CalculationError where there is no such calculator."""
    calculator = bench.calculator(link.name)
    inputs = {calculator.input(key).name: text for key, text in link.values.items()}
    return LinkTarget(calculator.question, command(calculator.name, inputs))


def check_links(bench: Bench, entry: Entry) -> Iterable[Finding]:
    """Find `calc:` links whose calculator, input or value cannot be used."""
    for line, column, _, _, target in links_in(entry.body):
        link = read_link(target)
        if link.scheme == "calc":
            try:
                _try(bench, link)
            except FixbookError as error:
                yield Finding(
                    f"the link {target!r}: {error.why}",
                    error.hint or "mend the link",
                    line=line,
                    column=column,
                )


def _try(bench: Bench, link: Link) -> None:
    calculator = bench.calculator(link.name)
    for key, text in link.values.items():
        field = calculator.input(key)
        if not all(part.strip() for part in (text.split(";") if field.many else [text])):
            raise CalculationError(f"{field.name} is empty", input=field.name)
        read_typed(field, [text], [])


def check_ratings(bench: Bench, entry: Entry) -> Iterable[Finding]:
    """Find capacitors whose rated voltage is under their rail by the derating rule.

    A part's rail is the direct voltage that is read at it; else the only rail that is read.
    """
    rails = [
        one
        for one in entry.targets
        if one.reads == "dc" and any(window.high for window in one.windows)
    ]
    if not (rails and entry.parts):
        return
    try:
        derating = bench.calculator(DERATING)
    except CalculationError:
        return  # its plugin is not there, so nobody can say
    for number, part in enumerate(entry.parts, 1):
        inputs = derating.fits(part, entry) if derating.fits else None
        rail = _rail_of(part, rails)
        if not inputs or "candidate" not in inputs or rail is None:
            continue
        highest = max(abs(end) for one in rail.windows for end in (one.low, one.high) if end)
        given = {**inputs, "rail": f"{highest:g} V", "rail_tolerance": "0 %"}
        answer = bench.calculate(DERATING, given).answer
        if answer.verdict in ("fail", "marginal"):
            yield Finding(
                f"{part.at} is under the rail {rail.name!r}: {answer.why}",
                "name a part with a higher rated voltage, or mend the window",
                field=f"parts[{number}].volts",
            )


def _rail_of(part: Part, rails: Sequence[Target]) -> Target | None:
    name = part.at.split(",")[0].split(" (")[0].strip()
    at_it = [one for one in rails if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", one.at)]
    if name and at_it:
        return at_it[0]
    named = [one for one in rails if re.search(r"\b(?:rail|supply)\b", one.name, re.IGNORECASE)]
    return named[0] if len(named) == 1 else None
