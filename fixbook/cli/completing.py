"""What may stand where the cursor is on a command line: read off the commands' own parsers."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, NamedTuple

from fixbook.cli.main import COMMANDS, COMMON
from fixbook.cli.session import Session
from fixbook.cli.words import ParserFound, only_parsers
from fixbook.errors import FixbookError

if TYPE_CHECKING:
    from fixbook.app.library import Library

FILES = "__files__"
"""Stands in the place of candidates where a file or folder is wanted: the shell knows those."""
SAFE = re.compile(r"[\w.=:+-]+")
"""What a shell takes as one word, quoted or not; nothing else is ever offered."""
_LISTED = re.compile(r"[a-z][a-z-]+(?:, [a-z-]+){2,}")
"""A help text that is nothing but the words that may be said: `fixed, improved, not-fixed`."""


class Word(NamedTuple):
    """A candidate, and a few words about it."""

    text: str
    about: str = ""


def complete(session: Session, typed: Sequence[str]) -> list[Word]:
    """Give what the last of the typed words may become; it may be empty.

    `typed` is what follows `fixbook`. A command line that cannot be read has no candidates.
    """
    before, last = [one for one in typed[:-1] if one != "="], typed[-1] if typed else ""
    before = _common(session, before)
    try:
        found = _candidates(session, before, last)
    except FixbookError:
        return []
    return [one for one in found if one.text.startswith(last) and SAFE.fullmatch(one.text)] or [
        one for one in found if one.text == FILES
    ]


def _common(session: Session, words: list[str]) -> list[str]:
    """Take out `--book DIR` and its like from before the command."""
    while words and words[0].startswith("--"):
        name, equals, value = words[0].partition("=")
        if name == "--book" and not equals and len(words) > 1:
            value, words = words[1], words[1:]
        if name == "--book" and value:
            session.book = value
        words = words[1:]
    return words


def _candidates(session: Session, before: list[str], last: str) -> list[Word]:
    if not before:
        if last.startswith("-"):
            return [Word(name, about) for name, about in COMMON.items()]
        return [Word(name, about) for name, about in known_commands(session).items()]
    parser = parser_of(session, before)
    if parser is None:
        return []
    words, parser = _below(parser, before[1:])
    wanted = _wanted_by_option(parser, words)
    if wanted is not None:
        return _values(session, wanted, words)
    if last.startswith("-"):
        return [
            Word(name, action.help or "")
            for action in parser._actions
            for name in action.option_strings
            if action.help != argparse.SUPPRESS
        ]
    at = _positional(parser, words)
    return _values(session, at, words) if at is not None else []


def known_commands(session: Session) -> dict[str, str]:
    """Give all commands with what they do, the plugins' included."""
    found = session.library.registry.commands(COMMANDS)
    return {**COMMANDS, **{name: one.summary for name, (_, one) in found.items()}}


def parser_of(session: Session, words: Sequence[str]) -> argparse.ArgumentParser | None:
    """Give the parser of the command that these words begin; None where there is none."""
    from fixbook.cli.plugged import run_plugged

    try:
        with only_parsers():
            if words[0] in COMMANDS:
                module: Any = import_module(f"fixbook.cli.{words[0]}")
                module.run(words[1:], session)
            else:
                run_plugged(words[0], words[1:], session, COMMANDS)
    except ParserFound as found:
        return found.parser
    return None


def _below(
    parser: argparse.ArgumentParser, words: Sequence[str]
) -> tuple[list[str], argparse.ArgumentParser]:
    """Go down into the sub-command that the words name; the words that are left, and its parser."""
    several = [one for one in parser._actions if isinstance(one, argparse._SubParsersAction)]
    for place, word in enumerate(words):
        if several and word in several[0].choices:
            below: argparse.ArgumentParser = several[0].choices[word]
            return list(words[place + 1 :]), below
    if words and words[0] in parser.prog.split():  # `book demo` has a parser of its own
        return list(words[1:]), parser
    return list(words), parser


def _wanted_by_option(
    parser: argparse.ArgumentParser, words: Sequence[str]
) -> argparse.Action | None:
    if not words:
        return None
    for action in parser._actions:
        if words[-1] in action.option_strings and action.nargs != 0:
            return action
    return None


def _positional(parser: argparse.ArgumentParser, words: Sequence[str]) -> argparse.Action | None:
    """Give the positional argument that comes next."""
    filled, skip = 0, False
    for word in words:
        action = next((one for one in parser._actions if word in one.option_strings), None)
        if skip:
            skip = False
        elif action is not None:
            skip = action.nargs != 0
        elif not word.startswith("-"):
            filled += 1
    places = [one for one in parser._actions if not one.option_strings]
    for number, action in enumerate(places):
        if number == filled or (number < filled and action.nargs in ("*", "+")):
            return action
    return None


def _values(session: Session, action: argparse.Action, words: Sequence[str]) -> list[Word]:
    """Give what an option or a place takes, by what its help calls it."""
    if isinstance(action, argparse._SubParsersAction):
        return [Word(one.dest, one.help or "") for one in action._choices_actions]
    if action.choices:
        return [Word(str(one)) for one in action.choices]
    shown = action.metavar if isinstance(action.metavar, str) else action.dest
    name = action.dest if shown == "X" else shown.split("=")[0].lower()
    if "|" in shown:
        return [Word(one) for one in shown.split("|")]
    if _LISTED.fullmatch(action.help or ""):
        return [Word(one) for one in (action.help or "").split(", ")]
    if name in ("file", "dir", "folder", "path", "paths"):
        return [Word(FILES)]
    return list(_words_of_book(session.library, name, words))


def _words_of_book(library: Library, name: str, words: Sequence[str]) -> Iterable[Word]:
    """Give the book's own words of a kind: write-ups, units, signs, hazards, calculators."""
    if name in ("id", "entry", "old", "like"):
        ids = {path.rsplit("/", 1)[-1].removesuffix(".md") for _, path in library.files()}
        return [Word(one) for one in sorted(ids)]
    if name == "unit":
        return [Word(one.id, one.name) for one in library.vocabulary.units.values()]
    if name == "sign":
        return [Word(one.id, one.ask) for one in library.vocabulary.signs.values()]
    if name == "hazard":
        return [Word(one) for one in library.vocabulary.hazards]
    if name in ("name", "input"):
        return _of_calculator(library, name, words)
    return _fixed(name)


def _of_calculator(library: Library, name: str, words: Sequence[str]) -> list[Word]:
    known = library.registry.calculators()
    if name == "name":
        return [Word(one.name, one.question) for one in known.values()]
    named = next((known[word] for word in words if word in known), None)
    return [Word(f"{one.name}=", one.help) for one in named.inputs] if named else []


def _fixed(name: str) -> list[Word]:
    from fixbook.core import entry

    values = {"kind": (*entry.KINDS, "job"), "skill": entry.SKILLS, "state": entry.STATES}
    return [Word(one) for one in values.get(name, ())]
