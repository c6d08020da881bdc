"""`fixbook kit ID…`: its options, and what it does."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence

from fixbook.api import VOLTS, Bench, read

from .errors import KitError
from .lines import pick_list
from .marking import FORM
from .picking import pick
from .showing import Kit, as_csv, as_json, kit_blocks
from .stock import find_stock, read_stock

EXAMPLES = """\
examples:
  fixbook kit amp-relay-contacts
  fixbook kit amp-relay-contacts amp-idle-current-drift --csv > kit.csv
  fixbook kit hum-dried-reservoir --stock drawers.csv --marked "C1=4700 uF 50 V" --rail "C1=32 V"

The stock list is named in fixbook.toml (stock = "stock.csv") or by --stock. Its first row names
the columns: what, value, count, place, and where known volts, temperature, esr, ripple, diameter,
height, pitch, note.
"""


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.epilog = EXAMPLES
    parser.add_argument("ids", nargs="+", metavar="ID", help="write-ups, as 'fixbook find' shows")
    parser.add_argument("--stock", metavar="FILE", help="the stock list, instead of the shop's own")
    parser.add_argument("--no-stock", action="store_true", help="hold it against no stock list")
    parser.add_argument(
        "--marked",
        action="append",
        default=[],
        metavar="AT=TEXT",
        help=f"what stands on a part of this unit, each figure with its unit: C1='{FORM}'",
    )
    parser.add_argument(
        "--rail",
        action="append",
        default=[],
        metavar="AT=VOLTS",
        help="the direct voltage at a part, as measured: C1='32 V'",
    )
    parser.add_argument("--csv", action="store_true", help="print the parts as CSV")


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Print the pick list of the write-ups that were named."""
    file = None if given.no_stock else find_stock(bench, given.stock)
    rails = {place: _volts(text) for place, text in _pairs(given.rail, "--rail", "C1=32 V").items()}
    marked = _pairs(given.marked, "--marked", f"C1={FORM}")
    kit = gather(bench, given.ids, file, marked, rails)
    if given.json:
        print(json.dumps(as_json(kit), indent=1))
    elif given.csv:
        print(as_csv(kit), end="")
    else:
        bench.show(kit_blocks(kit))
    return 0


def gather(
    bench: Bench,
    ids: Sequence[str],
    file: str | None,
    marked: Mapping[str, str] | None = None,
    rails: Mapping[str, float] | None = None,
) -> Kit:
    """Give the kit of write-ups, held against a stock list where one is named."""
    entries = tuple({(one := bench.entry(id)).id: one for id in ids}.values())
    lines = tuple(pick_list(entries, marked, rails))
    if file is None:
        return Kit(entries, lines)
    stock = read_stock(bench, file)
    return Kit(entries, lines, stock, tuple(pick(bench, lines, stock)))


def _pairs(words: Sequence[str], option: str, example: str) -> dict[str, str]:
    """Read `C1=text`; KitError for anything else."""
    found = {}
    for word in words:
        place, _, text = word.partition("=")
        if not place.strip() or not text.strip():
            raise KitError(
                f"{option} takes a place and what is said of it, not {word!r}",
                hint=f"write {option} '{example}'",
                input=option,
                read=word,
            )
        found[place.strip()] = text.strip()
    return found


def _volts(text: str) -> float:
    return abs(read(text, VOLTS, name="--rail").value)
