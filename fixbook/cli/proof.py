"""`fixbook proof`: every fault of every write-up at once, and mending what is safe to mend."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from fixbook.app.proofing import Proof, proof
from fixbook.cli.session import Session
from fixbook.cli.word_lists import show_words
from fixbook.cli.words import UsageError, add_book, new_parser, parse
from fixbook.core.problems import Problem
from fixbook.core.word_list import LISTS
from fixbook.render.clean import clean, clean_line

EXAMPLES = """\
examples:
  fixbook proof
  fixbook proof entries/power-amplifier
  fixbook proof --fix              shows what can be mended, asks, and mends it
  fixbook proof --words            which words may stand in a write-up, kind by kind
  fixbook proof --words signs      every sign, with its question
  fixbook proof --schema entry     a JSON Schema, for editors that check while you type
  fixbook proof --editor           FILE:LINE:COLUMN: error: ..., which editors jump to
"""

SCHEMAS = ("entry", "vocabulary")


def run(words: Sequence[str], session: Session) -> int:
    """Proof; 0 where nothing was found, 1 where something was."""
    parser = new_parser("proof", "Check write-ups for faults.", EXAMPLES)
    parser.add_argument("paths", nargs="*", metavar="PATH", help="files or folders; none: the book")
    parser.add_argument("--fix", action="store_true", help="mend order of fields, units' spelling")
    parser.add_argument("--yes", action="store_true", help="for --fix: do not ask")
    parser.add_argument(
        "--editor", action="store_true", help="one line for each fault, in the GNU form"
    )
    parser.add_argument(
        "--schema", metavar="entry|vocabulary", help="print the JSON Schema of such files"
    )
    parser.add_argument(
        "--words", nargs="?", const="", metavar="|".join(LISTS),
        help="list the words of a kind that write-ups may use; alone: the kinds",
    )  # fmt: skip
    add_book(parser)
    given = parse(parser, words)
    if given.editor and (given.json or given.fix):
        raise UsageError("--editor goes with neither --json nor --fix", input="--editor")
    session.book = given.book or session.book
    if given.words is not None:
        return show_words(given.words, session, as_json=given.json)
    if given.schema:
        session.write_json(_schema(given.schema, session))
        return 0
    mended = _fix(given, session) if given.fix else []
    found = proof(session.library, given.paths, session.progress)
    session.clear_progress()
    if given.json:
        session.write_json({**found.to_json(), **({"mended": mended} if given.fix else {})})
    elif given.editor:
        session.write([[("plain", clean_line(in_gnu_form(one)))] for one in found.problems])
    else:
        _show(found, session)
    return 1 if found.problems else 0


def in_gnu_form(problem: Problem) -> str:
    """Write a fault as compilers do, with the whole path, so that editors find it from anywhere."""
    place = f"{Path(problem.file).absolute()}:{problem.line}:{problem.column}"
    return f"{place}: error: {problem.problem}; {problem.do} [{problem.rule}]"


def _show(found: Proof, session: Session) -> None:
    lines = session.faults(found.problems)
    files = f"{found.files} file{'s' if found.files != 1 else ''} read"
    faults = len(found.problems)
    some = f"{faults} fault{'s' if faults != 1 else ''}" if faults else "no faults"
    session.write([*lines, [("quiet", f"{files}, {some}")]])


def _schema(what: str, session: Session) -> dict[str, object]:
    from fixbook.core.json_schema import entry_schema, words_schema

    if what not in SCHEMAS:
        hint = f"one of {', '.join(SCHEMAS)}"
        raise UsageError(f"there is no schema {what!r}; {hint}", input="--schema", read=what,
                         choices=SCHEMAS)  # fmt: skip
    return entry_schema(session.library.vocabulary) if what == "entry" else words_schema()


def _fix(given: argparse.Namespace, session: Session) -> list[str]:
    """Show what can be mended, ask, and mend it; the files that were mended."""
    from fixbook.app.mending import plan_mends, write_mend

    plan = list(plan_mends(session.library, given.paths))
    if not plan:
        return []
    if not given.json:
        session.write([[("plain", clean(line))] for mend in plan for line in mend.diff])
    files = "this file" if len(plan) == 1 else f"these {len(plan)} files"
    if not given.yes and not session.confirm(f"Mend {files} so?"):
        if not given.json:
            session.write([[("quiet", "nothing was mended; --yes mends without asking")]])
        return []
    for mend in plan:
        write_mend(mend)
    session.library.look_again()
    if not given.json:
        session.write([[("good", f"mended: {len(plan)} file{'s' if len(plan) > 1 else ''}")]])
    return [mend.file for mend in plan]
