"""Commands that plugins give."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError, add_book, new_parser, parse
from fixbook.core.problems import close_matches, did_you_mean
from fixbook.errors import FixbookError, PluginError
from fixbook.hooks.loader import failure, line_of

HOOK = "fixbook_commands"


def run_plugged(name: str, words: Sequence[str], session: Session, own: Iterable[str]) -> int:
    """Run a plugin's command; UsageError with close matches where no plugin has it."""
    found = session.library.registry.commands(own)
    if name not in found:
        known = [*own, *found]
        raise UsageError(
            f"there is no command {name!r}; {did_you_mean(name, known, otherwise='see --help')}",
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
    return status
