"""The `fixbook` command: finds the subcommand, runs it, and turns errors into words."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any

from fixbook.errors import FixbookError

COMMANDS = {
    "find": "search by symptom, in your own words",
    "sheet": "show a write-up: cautions, targets, parts, steps",
    "calc": "run a calculator, or list them",
    "write": "write up what was learnt, rename, withdraw",
    "proof": "check write-ups for faults, mend what is safe to mend",
    "book": "make a book, say which one is open, trust its plugins",
    "completion": "the script that completes command lines in bash, zsh or fish",
}
"""The program's own commands, each a module of `fixbook.cli`; plugins add more."""
COMMON = {
    "--book": "the book to use instead of the nearest one",
    "--trace-hooks": "say each call of a plugin",
    "--help": "say what there is",
    "--version": "say which version this is",
}
"""What may stand before a command."""

INTERRUPTED = 130
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What keeps the answer from being written where it was sent to."""


def main(words: Sequence[str] | None = None) -> int:
    """Run a command line; give its exit status. No traceback reaches the user."""
    given = list(sys.argv[1:] if words is None else words)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    status = 0
    try:
        try:
            status = _run(given)
        except FixbookError as error:
            status = error.exit_status
            _say(error, as_json="--json" in given)
        if sys.stdout is not None:  # it may be closed from the beginning
            sys.stdout.flush()
    except (KeyboardInterrupt, EOFError):  # the second: the end of the input at a question
        print(file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:  # the reader of a pipe has seen enough
        _drop_output()
    except Exception as error:  # noqa: BLE001  # whatever it is, the user gets a sentence
        if isinstance(error, OSError) and error.errno in FULL:
            _drop_output()
            print(f"fixbook: the answer cannot be written: {error.strerror}", file=sys.stderr)
            print("  make room where it was sent to, or send it elsewhere", file=sys.stderr)
            return 2
        return _own_fault(error)
    return status


def _drop_output() -> None:
    """Let what is still to be written go nowhere, so that ending the program cannot fail."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _run(words: list[str]) -> int:
    book, trace, words = _common(words)
    if not words and _on_terminal():
        from fixbook.cli.session import Session
        from fixbook.screen.run import run_screen

        return run_screen(Session(book=book).library)
    if words[:1] == ["help"] and len(words) > 1:
        words = [*words[1:], "--help"]
    if not words or words[0] in ("-h", "--help", "help"):
        from fixbook.cli.help import show_help

        return show_help(book)
    if words[0] in ("-V", "--version"):
        import fixbook

        print(f"fixbook {fixbook.__version__}")
        return 0
    if words[0].startswith("-"):
        raise _unknown_option(words[0])
    from fixbook.cli.session import Session

    session = Session(book=book, trace=trace)
    command, rest = words[0], words[1:]
    if command in COMMANDS:
        module: Any = import_module(f"fixbook.cli.{command}")
        status: int = module.run(rest, session)
        return status
    from fixbook.cli.plugged import run_plugged

    return run_plugged(command, rest, session, COMMANDS)


def _on_terminal() -> bool:
    streams = (sys.stdin, sys.stdout)
    able = os.environ.get("TERM") != "dumb"
    return able and all(stream is not None and stream.isatty() for stream in streams)


def _common(words: list[str]) -> tuple[str | None, bool, list[str]]:
    """Take out the options that may stand before the command."""
    book, trace = None, False
    while words and words[0].startswith("--"):
        name, equals, value = words[0].partition("=")
        if name == "--book" and (equals or len(words) > 1):
            book, words = (value, words[1:]) if equals else (words[1], words[2:])
        elif name == "--trace-hooks":
            trace, words = True, words[1:]
        else:
            break
    return book, trace, words


def _unknown_option(name: str) -> FixbookError:
    from fixbook.cli.words import UsageError
    from fixbook.core.problems import did_you_mean

    if name == "--book":
        why = "--book needs the folder of a book"
    else:
        near = did_you_mean(name, COMMON, otherwise="options of a command stand after it")
        why = f"no option {name} stands before a command; {near}"
    return UsageError(why, hint="see 'fixbook --help'", input=name, read=name)


def _say(error: FixbookError, *, as_json: bool) -> None:
    from fixbook.render.clean import clean

    if as_json:
        import json

        print(json.dumps(error.to_json(), indent=1))
    else:
        said = [f"fixbook: {clean(error.why)}"]
        said += [f"  {line}" for line in clean(error.hint).split("\n")] if error.hint else []
        said += [clean(str(problem)) for problem in getattr(error, "problems", ())]
        for line in said:
            print(_broken(line), file=sys.stderr)


def _broken(text: str) -> str:
    """Break a line between words where it goes to a terminal; elsewhere it stays one line."""
    if sys.stderr is None or not sys.stderr.isatty():
        return text
    import shutil

    from fixbook.render.lines import usable, wrap

    width = usable(shutil.get_terminal_size().columns)
    lead = "  " if text.startswith("  ") else ""
    first, *more = [part for line in text.split("\n") for part in wrap(line, width - 2)]
    return "\n".join([f"{lead}{first}", *(f"  {part}" for part in more)])


def _own_fault(error: Exception) -> int:
    """Say that the program itself is at fault, and keep the traceback in a file."""
    import tempfile
    import traceback

    text = "".join(traceback.format_exception(error))
    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="fixbook-fault-", suffix=".txt", delete=False, encoding="utf-8"
        ) as file:
            file.write(text)
        where = f"; the details are in {file.name}"
    except OSError:
        where = ""
    print(f"fixbook: a fault of the program itself: {type(error).__name__}{where}", file=sys.stderr)
    print("  nothing of yours was changed by it; please report it", file=sys.stderr)
    return 2
