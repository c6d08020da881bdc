"""`fixbook job …`: finds the module of the sub-command and runs it."""

from __future__ import annotations

import argparse
from importlib import import_module
from typing import Any

from fixbook.api import Bench

from .examples import examples
from .options import SUBS


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the sub-commands."""
    several = parser.add_subparsers(dest="sub", metavar="WHAT", required=True)
    parser.epilog = examples()
    for name, sub in SUBS.items():
        one = several.add_parser(
            name,
            help=sub.summary,
            description=sub.summary,
            epilog=examples(name),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        # What stands before the sub-command must not be undone by what does not stand after it.
        one.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="as JSON")
        one.add_argument("--book", metavar="DIR", default=argparse.SUPPRESS, help="the book to use")
        sub.options(one)


def run(bench: Bench, given: argparse.Namespace) -> int:
    """Run a sub-command; give its exit status."""
    module: Any = import_module(f".{SUBS[given.sub].module}", __package__)
    status: int = module.run(bench, given)
    return status
