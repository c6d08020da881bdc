"""Commands that plugins give."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fixbook.cli.session import Session
from fixbook.cli.words import UsageError, add_book, new_parser, parse
from fixbook.core.plugins import Command
from fixbook.core.problems import close_matches, did_you_mean
from fixbook.errors import FixbookError, PluginError
from fixbook.hooks.loader import failure


def run_plugged(name: str, words: Sequence[str], session: Session, own: Iterable[str]) -> int:
    """Run a plugin's command; UsageError with close matches where no plugin has it."""
    registry = session.library.registry
    found: dict[str, tuple[str, Command]] = {}
    for plugin, command in registry.gather("fixbook_commands", Command):
        first = found.setdefault(command.name, (plugin, command))
        if first[1] is not command or command.name in own:
            why = f"its command {command.name} has the name of another"
            registry.switch_off(plugin, PluginError(plugin, why))
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
    command.configure(parser)
    arguments = parse(parser, words)
    if arguments.book:
        session.book = arguments.book
        session.__dict__.pop("library", None)
    try:
        return command.run(session.bench, arguments)
    except (FixbookError, KeyboardInterrupt, BrokenPipeError):
        raise
    except Exception as error:
        raise failure(plugin, error, hook="fixbook_commands") from error
