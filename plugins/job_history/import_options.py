"""The options of `fixbook job import`."""

from __future__ import annotations

import argparse


def bring_in(parser: argparse.ArgumentParser) -> None:
    """Where the history is, and how its columns and words are meant."""
    add = parser.add_argument
    add("file", nargs="?", metavar="FILE", help=".csv, .tsv, .txt, .xlsx, .jsonl or .json")
    add("--sql", metavar="ADDRESS", help="a database instead: an SQLite file, or an address")
    add("--table", metavar="NAME", help="the table of the database")
    add("--map", action="append", metavar="COLUMN=FIELD", help="where a column goes; or =nothing")
    add("--key", metavar="COLUMN,COLUMN", help="what tells rows apart without a job number")
    add("--word", action="append", metavar="WORD=OUTCOME", help="what the shop's word means")
    add("--unit", action="append", metavar="WORD=UNIT", help="what the shop calls a unit")
    order = parser.add_mutually_exclusive_group()
    order.add_argument("--day-first", action="store_true", help="3/4/2026 is the third of April")
    order.add_argument("--month-first", action="store_true", help="3/4/2026 is the fourth of March")
    add("--encoding", metavar="NAME", help="of a text file: utf-8, cp1252, cp850, mac-roman …")
    add("--delimiter", metavar="SIGN", help="of a text file: comma, semicolon, tab, bar, or a sign")
    add("--sheet", metavar="NAME", help="of a spreadsheet; the first that is not empty otherwise")
    add("--as", dest="source", metavar="KIND", help="read it as this kind, whatever its name")
    add("--trial", action="store_true", help="show what would be done, and do nothing")
    add("--yes", action="store_true", help="ask nothing")
