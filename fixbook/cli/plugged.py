"""Commands that plugins give."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import (
    PRINTING,
    UsageError,
    add_book,
    is_printed,
    new_parser,
    options_of,
    parse,
    printing_options,
)
from fixbook.core.problems import close_matches, did_you_mean
from fixbook.errors import FixbookError, PluginError
from fixbook.hooks.loader import failure, line_of

HOOK = "fixbook_commands"


def run_plugged(name: str, words: Sequence[str], session: Session, own: Iterable[str]) -> int:
    """Run a plugin's command; UsageError with close matches where no plugin has it."""
    found = session.library.registry.commands(own)
    if name not in found:
        from fixbook.app.trusted import off_note

        known = [*own, *found]
        raise UsageError(
            f"there is no command {name!r}; {did_you_mean(name, known, otherwise='see --help')}",
            hint=off_note(session.library),
            input="command",
            read=name,
            choices=close_matches(name, known),
        )
    plugin, command = found[name]
    parser = new_parser(command.name, command.summary)
    add_book(parser)
    try:
        command.configure(parser)
    except Exception as error:
        raise failure(plugin, error, hook=HOOK, place=line_of(command.configure)) from error
    printing = None if PRINTING & options_of(parser) else printing_options(parser, words)
    if printing is not None:
        printed, words = printing
        session.shown = [] if is_printed(printed) else None
    arguments = parse(parser, words)
    if arguments.book:
        session.book = arguments.book
        session.__dict__.pop("library", None)
    try:
        status = command.run(session.bench, arguments)
    except (FixbookError, KeyboardInterrupt, EOFError, BrokenPipeError):
        raise
    except (Exception, SystemExit) as error:
        raise failure(plugin, error, hook=HOOK, place=line_of(command.run)) from error
    if not isinstance(status, int):
        why = f"its command {name} gave {type(status).__name__}, not an exit status"
        raise PluginError(plugin, why, hook=HOOK, where=line_of(command.run))
    if printing is not None and is_printed(printed):
        return _print(session, name, printed) or status
    return status


def _print(session: Session, name: str, printed: argparse.Namespace) -> int:
    """Write what a command showed as a page too."""
    from fixbook.app.printing import print_blocks
    from fixbook.cli.printing import deliver

    blocks = session.shown or []
    if not blocks:
        raise UsageError(
            f"{name} showed nothing that could be printed", input="--html", hint="leave --html out"
        )
    title, library = f"fixbook {name}", session.library
    return deliver(
        session, printed, lambda paper: print_blocks(library, title, blocks, paper=paper)
    )
