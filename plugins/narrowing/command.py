"""`fixbook narrow`: from a complaint to the right sheet, one check at a time."""

from __future__ import annotations

import argparse
import json

from fixbook.api import (
    Bench,
    CalculationError,
    FixbookError,
    Input,
    PanelBlock,
    TextBlock,
    read_value,
)

from .belief import NOT_CHECKED
from .case import Case, as_json, path_text, stand
from .errors import NarrowError
from .opening import few, guess_units, known_units, open_case, read_signs, read_unit
from .showing import opening_blocks
from .stepping import narrow

NOTHING = 1
"""Exit status where the book has nothing to narrow down."""


EXAMPLES = """\
examples:
  fixbook narrow power-amplifier one side drops out
  fixbook narrow --unit turntable hums --sign hum-only-on-phono=seen --json
  fixbook narrow --job 2041
"""


def options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.epilog = EXAMPLES
    parser.add_argument("words", nargs="*", metavar="WORDS", help="the complaint, in any words")
    parser.add_argument("--unit", metavar="UNIT", help="the kind of apparatus, with its contents")
    parser.add_argument(
        "--sign",
        action="append",
        default=[],
        metavar="NAME=ANSWER",
        help="what was found: seen, not-seen, not-checked, or one of the sign's own answers",
    )
    parser.add_argument(
        "--job", metavar="N", help="begin with what this job knows; the path goes into its notes"
    )


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Narrow down: step by step on a terminal, else one step as text or JSON."""
    said = read_signs(bench, given.sign)
    unit, words = given.unit or "", " ".join(given.words)
    if given.job:
        unit, words, said = _from_job(bench, given.job, unit, words, said)
    unit = read_unit(bench, unit) if unit else _find_unit(bench, words, given.json)
    case = open_case(bench, unit, words=words, said=said)
    if given.json:
        print(json.dumps(as_json(stand(case)), indent=1))
        return 0 if case.model.faults else NOTHING
    if not case.model.faults:
        name = bench.vocabulary.units[unit].name
        text = f"This book has no write-up of a fault of this unit ({name})."
        hint = "'fixbook find WORDS' searches the whole book by symptom."
        bench.show([TextBlock("", f"{text}\n{hint}")])
        return NOTHING
    try:
        case = narrow(bench, case, opening_blocks(case, bench.vocabulary))
    except CalculationError:  # nobody can be asked: it was shown once; say the way on
        _say_way_on(bench, case, given.job)
        return 0
    _keep(bench, case, given.job)
    return 0


def _from_job(
    bench: Bench, number: str, unit: str, words: str, said: dict[str, str]
) -> tuple[str, str, dict[str, str]]:
    """Let a job say what was not typed; what was typed holds."""
    facts = bench.job_facts(number)
    if facts is None:
        raise NarrowError(
            f"there is no job {number!r}",
            input="--job",
            read=number,
            hint="'fixbook job list' shows them",
        )
    signs = bench.vocabulary.signs
    known = {
        name: answer
        for name, answer in facts.signs.items()
        if name in signs and answer in signs[name].background
    }
    return unit or facts.unit, words or facts.complaint, {**known, **said}


def _find_unit(bench: Bench, words: str, quiet: bool) -> str:
    """Find which unit is meant from the words, or ask; NarrowError where that cannot be done."""
    guesses = guess_units(bench, words)
    if len(guesses) == 1:
        return guesses[0]
    known = known_units(bench)
    guess = guesses[0] if guesses else None
    field = Input(
        "unit",
        "choice",
        required=guess is None,
        default=guess,
        choices=tuple(known),
        help="the kind of apparatus",
    )
    try:
        typed = "" if quiet else bench.ask([field]).get("unit", guess or "")
    except (CalculationError, EOFError):  # nobody can be asked, or nobody answers
        typed = ""
    if typed:
        return str(read_value(field, typed, []))
    near = guesses or known
    raise NarrowError(
        "it is not said which kind of apparatus this is",
        input="--unit",
        read=words,
        hint=f"name it with --unit: {few(near)}",
        choices=near,
    )


def _say_way_on(bench: Bench, case: Case, job: str | None) -> None:
    standing = stand(case)
    if standing.stop:
        return
    sign = standing.checks[0].question.sign
    about = f"--job {job}" if job else f"--unit {case.model.unit}"
    known = "".join(f" --sign {name}={answer}" for name, answer in case.answers)
    answers = "|".join((*sign.answers, NOT_CHECKED))
    text = f"fixbook narrow {about}{known} --sign {sign.id}={answers}"
    bench.show([TextBlock("", ""), PanelBlock("To go on", {"type the answer": text})])


def _keep(bench: Bench, case: Case, job: str | None) -> None:
    """Put the path into the job, or say how it is kept."""
    if not case.found:
        return
    text = path_text(case)
    if not job:
        hint = "'fixbook narrow --job N' puts it into a job, and the job's outcome is learnt from."
        bench.show([TextBlock("The path taken", f"{text}\n{hint}")])
        return
    try:
        kept = bench.note_job(job, text, dict(case.found))
    except FixbookError as error:
        bench.show([TextBlock("The path taken", text)])
        raise NarrowError(
            f"the path could not be put into job {job}: {error.why}",
            input="--job",
            read=job,
            hint=error.hint or "it stands above; copy it",
        ) from error
    what = f"The path is in job {job}: its note, and its signs." if kept else text
    bench.show([TextBlock("", what)])
