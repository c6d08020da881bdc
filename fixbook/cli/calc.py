"""`fixbook calc`: a bench sum, typed as on the bench."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from fixbook.app.calculating import (
    assign_read,
    calculate_from,
    find_calculator,
    grouped,
    run_guarded,
)
from fixbook.cli.session import Session
from fixbook.cli.words import (
    UsageError,
    add_book,
    add_printing,
    is_printed,
    new_parser,
    parse,
)
from fixbook.core.calculation import missing
from fixbook.core.calculator import Calculator
from fixbook.errors import CalculationError

EXAMPLES = """\
examples:
  fixbook calc
  fixbook calc esr-limit --help
  fixbook calc esr-limit capacitance=470u rated_voltage=25 measured=0.35
  fixbook calc divider 12V 10k 4k7
  fixbook calc divider 12V 10k 4k7 --html record.html
"""
HELP = ("-h", "--help")
LARGEST_RECORD = 64 * 1024


def run(words: Sequence[str], session: Session) -> int:
    """Run or list calculators. A verdict of `fail` is an answer, so the status is 0."""
    asks_help = any(word in HELP for word in words)
    parser = new_parser("calc", "Run a calculator, or list them all.", EXAMPLES)
    parser.add_argument("name", nargs="?", metavar="NAME", help="none: list them")
    parser.add_argument("inputs", nargs="*", metavar="INPUT=VALUE", help="or values in order")
    parser.add_argument("--from", dest="file", metavar="FILE", help="inputs as JSON; - for stdin")
    add_printing(parser)
    add_book(parser)
    left = [word for word in words if word not in HELP]
    given = parse(parser, left, free=True, otherwise="'fixbook calc' alone lists the calculators")
    session.book = given.book or session.book
    if asks_help and given.name:
        return _help(given.name, session)
    if asks_help:
        parser.print_help(session.out)
        return 0
    if given.name is None:
        return _list(session, as_json=given.json)
    calculator = find_calculator(session.library, given.name)
    if given.file:
        result = calculate_from(calculator, _read_json(given.file))
    else:
        texts = [_record_from_file(calculator, word) for word in given.inputs]
        assigned = assign_read(calculator, texts)
        absent = missing(calculator, assigned)
        if absent and session.can_ask and not given.json:
            assigned |= {name: [text] for name, text in session.ask(absent).items()}
        result = run_guarded(calculator, assigned)
    if is_printed(given):
        from fixbook.app.printing import print_result
        from fixbook.cli.printing import deliver

        library = session.library
        return deliver(session, given, lambda paper: print_result(library, result, paper=paper))
    if given.json:
        session.write_json(result.to_json())
    else:
        from fixbook.render.answer import answer_lines

        session.write(answer_lines(result, session.width))
    return 0


def _help(name: str, session: Session) -> int:
    from fixbook.render.answer import help_lines

    session.write(help_lines(find_calculator(session.library, name), session.width))
    return 0


def _list(session: Session, *, as_json: bool) -> int:
    groups = grouped(session.library)
    if as_json:
        session.write_json(
            [
                {"calculator": one.name, "question": one.question, "for": heading}
                for heading, calculators in groups
                for one in calculators
            ]
        )
        return 0
    from fixbook.app.trusted import off_note
    from fixbook.render.answer import list_lines

    off = off_note(session.library)
    session.write(list_lines(groups, session.width, off))
    return 0


def _read_json(file: str) -> dict[str, object]:
    import json
    import sys

    try:
        text = sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
        data = json.loads(text)
    except (OSError, ValueError, RecursionError) as error:
        why = f"{file} cannot be read as JSON: {error}"
        raise UsageError(why, input="--from", read=file) from error
    if not isinstance(data, dict):
        raise UsageError(
            f"{file} holds no object of inputs", input="--from", read=file,
            hint='write {"input": "value", ...}',
        )  # fmt: skip
    return data


def _record_from_file(calculator: Calculator, word: str) -> str:
    """Put a file's `name=value` lines in the place of its name, where an input is a record."""
    name, equals, text = word.partition("=")
    path = Path(text.strip())
    if not equals or "=" in text or not text.strip():
        return word
    try:
        field = calculator.input(name)
    except CalculationError:
        return word  # it is refused with its own words later
    if field.form != "record" or not os.path.isfile(path):  # any text, however long, may stand here
        return word
    try:
        with path.open(encoding="utf-8") as file:
            lines = file.read(LARGEST_RECORD).splitlines()
    except (OSError, UnicodeDecodeError) as error:
        why = f"{name}: {path} cannot be read: {error}"
        raise CalculationError(why, input=name, read=text) from error
    values = [line.strip() for line in lines if line.strip() and not line.startswith("#")]
    return f"{name}={' '.join(values)}"
