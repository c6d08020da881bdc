"""`fixbook find`: from a symptom in one's own words to the write-ups that fit."""

from __future__ import annotations

import re
from collections.abc import Sequence

from fixbook.app.finding import find, findings_to_json
from fixbook.app.indexing import BookIndex
from fixbook.cli.session import Session
from fixbook.cli.words import UsageError, add_book, new_parser, parse

EXAMPLES = """\
examples:
  fixbook find hums with the volume at zero
  fixbook find "one side missing" -tape --unit power-amplifier
  fixbook find -15V rail low
  fixbook find --hazard laser --sign spins-but-does-not-read
  fixbook find --explain drones with no music
"""
OPTIONS = {
    "unit": "a kind of apparatus, and what it contains",
    "section": "a block of the unit",
    "kind": "fault or technique",
    "hazard": "a hazard the work meets",
    "skill": "the soldering it takes",
    "state": "written, bench-proven or withdrawn",
    "model": "a model; entries for any model stay in",
    "sign": "a sign the fault shows sometimes or more",
}
MOST = 1000


def run(words: Sequence[str], session: Session) -> int:
    """Search; 0 where something was found, 1 where nothing was."""
    parser = new_parser("find", "Search by symptom, in your own words.", EXAMPLES)
    parser.add_argument("words", nargs="*", metavar="WORDS", help="-WORD leaves a word out")
    for name, help_ in OPTIONS.items():
        parser.add_argument(f"--{name}", action="append", default=[], help=help_, metavar="X")
    parser.add_argument("--limit", default="10", metavar="N", help="how many to show (10)")
    parser.add_argument("--explain", action="store_true", help="show what each score is made of")
    add_book(parser)
    given = parse(parser, words, free=True, otherwise="a word to leave out takes one minus")
    session.book = given.book or session.book
    if not re.fullmatch("[0-9]{1,9}", given.limit) or not 0 < int(given.limit) <= MOST:
        raise UsageError(
            f"--limit is a number from 1 to {MOST}, not {given.limit!r}",
            input="--limit",
            read=given.limit,
        )
    wanted = {name: getattr(given, name) for name in OPTIONS if getattr(given, name)}
    index = BookIndex(session.library, progress=session.progress)
    findings = find(
        session.library, index, " ".join(given.words), wanted,
        limit=int(given.limit), explain=given.explain,
    )  # fmt: skip
    if given.json:
        session.write_json(findings_to_json(findings))
    else:
        from fixbook.render.results import results_lines

        lines = index.summaries(hit.key for hit in findings.hits if ":" not in hit.key)
        session.write(results_lines(findings, session.width, summaries=lines))
    return 0 if findings.total else 1
