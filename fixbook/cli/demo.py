"""`fixbook book demo`: the book of an invented shop, to try things on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fixbook.cli.session import Session
from fixbook.cli.words import add_book, new_parser, parse
from fixbook.render.clean import clean_line
from fixbook.render.lines import Line

EXAMPLES = """\
examples:
  fixbook book demo shop
  fixbook book demo shop --seed 7

Shop, makes and models are invented. The same seed gives the same files.
"""
NEXT = (
    "fixbook find no sound until standby is flicked",
    "fixbook kit vg220-reservoir-glue",
    "fixbook job import history/2025.tsv --yes",
    "fixbook job import history/2023.csv --word sorted=fixed --yes",
    "fixbook job suggest --all",
    "fixbook job rates",
    "fixbook narrow power-amplifier gets very hot",
)
"""What to try, from inside the folder."""


def demo(words: Sequence[str], session: Session) -> int:
    """Make the book."""
    from fixbook.app.demo import demo_book
    from fixbook.demo.making import SEED

    parser = new_parser("book demo", "Make the book of an invented repair shop.", EXAMPLES)
    parser.add_argument("folder", metavar="DIR", help="a folder that is not there yet")
    parser.add_argument("--seed", type=int, default=SEED, metavar="N", help="another history")
    add_book(parser)
    given = parse(parser, words)
    folder = Path(given.folder).expanduser()
    made = demo_book(folder, given.seed)
    if given.json:
        session.write_json({"book": str(folder.absolute()), "made": made})
        return 0
    entries = sum(one.endswith(".md") for one in made)
    told = (
        f"made the book {folder} of a shop that does not exist: {entries} write-ups,",
        "600 jobs in the lists under history/, a stock list, pictures",
        f"try, after 'cd {folder}':",
    )
    lines: list[Line] = [[("plain", clean_line(one))] for one in told]
    session.write(lines + [[("plain", f"  {one}")] for one in NEXT])
    return 0
