"""Command lines: a parser that raises, and words that begin with a minus."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import NoReturn

from fixbook.errors import FixbookError

_MINUS = "\udc2d"
"""Stands for the minus of a word while argparse looks for options. No text from outside has it:
bytes that are no text come in as U+DC80 and above."""


class UsageError(FixbookError):
    """A command line that cannot be read."""


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are ours."""

    def error(self, message: str) -> NoReturn:
        """Raise UsageError instead of ending the program."""
        raise UsageError(
            f"{message.replace(_MINUS, '-')}", hint=f"see '{self.prog} --help'", input="arguments"
        )


class ParserFound(Exception):
    """Carries a command's parser to whoever asked for it, in the place of running the command."""

    def __init__(self, parser: argparse.ArgumentParser) -> None:
        super().__init__(parser.prog)
        self.parser = parser


_asked = False


@contextmanager
def only_parsers() -> Iterator[None]:
    """Let `parse` raise ParserFound: a command that is run stops when its parser is made."""
    global _asked
    _asked = True
    try:
        yield
    finally:
        _asked = False


def new_parser(command: str, summary: str, examples: str = "") -> Parser:
    """Make the parser of a command, with examples under its help."""
    return Parser(
        prog=f"fixbook {command}".strip(),
        description=summary,
        epilog=examples,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )


def add_book(parser: argparse.ArgumentParser) -> None:
    """Add the options that every command has."""
    parser.add_argument("--book", metavar="DIR", help="the book to use instead of the nearest one")
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")


def add_printing(parser: argparse.ArgumentParser) -> None:
    """Add the options of what can be printed, but for those that it has as its own."""
    own, add = options_of(parser), parser.add_argument
    if "--html" not in own:
        add("--html", metavar="FILE", help="write it as a page that needs nothing else")
    if "--pdf" not in own:
        add("--pdf", metavar="FILE", help="the same as PDF, where a Chromium is found")
    if "--paper" not in own:
        about = "size of the paper; PDF is on A4 unless said"
        add("--paper", choices=("a4", "letter"), help=about)
    if "--open" not in own:
        add("--open", action="store_true", help="open what was written in a browser")


PRINTING = frozenset(("--html", "--pdf", "--paper", "--open"))
"""The options of `add_printing`."""


def printing_options(
    parser: argparse.ArgumentParser, words: Sequence[str]
) -> tuple[argparse.Namespace, list[str]]:
    """Take the printing options out of a command's words, wherever they stand; add them to its help.

    An option that a sub-command has as its own stays with that; its help shows the others too.
    """
    called = [
        action.choices[sub]
        for action in parser._actions
        if isinstance(action, argparse._SubParsersAction)
        for sub in [next((word for word in words if word in action.choices), "")]
        if sub
    ]
    taken = PRINTING & {option for sub in called for option in options_of(sub)}
    for one in (parser, *called):
        add_printing(one)
    own = Parser(prog=parser.prog, add_help=False, allow_abbrev=False)
    add_printing(own)
    own.add_argument("--json", action="store_true")
    end = list(words).index("--") if "--" in words else len(words)
    kept = {word: f"\0{word}" for word in taken}
    found, left = own.parse_known_args([kept.get(word, word) for word in words[:end]])
    left = [word.removeprefix("\0") for word in left]
    left += ["--json"] if found.json else []
    return found, [*left, *words[end:]]


def is_printed(given: argparse.Namespace) -> bool:
    """Say whether any option of `add_printing` was given."""
    return bool(given.html or given.pdf or given.open or given.paper)


def parse(
    parser: Parser, words: Sequence[str], *, free: bool = False, otherwise: str = ""
) -> argparse.Namespace:
    """Parse a command's words; with `free`, a word that begins with a minus is a word.

    An unknown word with two minuses is an option misspelt, and said so with close matches, or
    with `otherwise` where none is near.
    """
    if _asked:
        raise ParserFound(parser)
    options = options_of(parser)
    given = [_protect(word, options, otherwise) for word in words] if free else list(words)
    found = _parsed(parser, given)
    for name, value in vars(found).items():
        if isinstance(value, str):
            setattr(found, name, value.replace(_MINUS, "-"))
        elif isinstance(value, list):
            setattr(found, name, [str(one).replace(_MINUS, "-") for one in value])
    return found


def _parsed(parser: Parser, given: Sequence[str]) -> argparse.Namespace:
    """Parse words with options anywhere among them: `calc divider --json 12V 10k`."""
    if parser._subparsers is not None:
        return parser.parse_args(given)  # argparse cannot mix those
    return parser.parse_intermixed_args(given)


def _protect(word: str, options: Iterable[str], otherwise: str) -> str:
    name = word.split("=", 1)[0]
    if not word.startswith("-") or word in ("-", "--", "-h") or name in options:
        return word
    if word.startswith("--") and len(word) > 2:
        from fixbook.core.problems import did_you_mean

        near = did_you_mean(name, options, otherwise=otherwise or "see --help")
        raise UsageError(f"there is no option {name}; {near}", input=name, read=word)
    return _MINUS + word[1:]


def options_of(parser: argparse.ArgumentParser) -> set[str]:
    """Give the names of a parser's options."""
    return {name for action in parser._actions for name in action.option_strings}
