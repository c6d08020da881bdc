"""Help: every command has examples, and every example can be typed as it stands."""

from __future__ import annotations

import argparse
import re
import shlex

import pytest

from fixbook.cli.completing import parser_of
from fixbook.cli.main import COMMANDS
from fixbook.cli.session import Session
from fixbook.cli.words import parse

PLUGGED = ("job", "kit", "narrow")
APART = (("book", "demo"), ("book", "backup"), ("book", "restore"), ("book", "print"),
         ("book", "upgrade"))  # fmt: skip
"""Commands whose second word leads to a parser of its own."""


def below(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """Give a parser's sub-commands."""
    found = [one for one in parser._actions if isinstance(one, argparse._SubParsersAction)]
    return dict(found[0].choices) if found else {}


@pytest.fixture(scope="module")
def parsers(tmp_path_factory) -> dict[str, argparse.ArgumentParser]:
    """Give every command's parser, by its words."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        session = Session()
        names = [(one,) for one in (*COMMANDS, *PLUGGED)] + list(APART)
        found = {" ".join(name): parser_of(session, name) for name in names}
    assert None not in found.values()
    subs = {f"job {name}": one for name, one in below(found["job"]).items()}
    return {**found, **subs}


def examples(parser: argparse.ArgumentParser) -> list[str]:
    """Give the command lines among a help's examples, without what the shell does."""
    lines = re.findall(r"^  fixbook (.*)$", parser.epilog or "", re.MULTILINE)
    shown = [re.split(r" [<>] |   +", line)[0].strip() for line in lines]
    return [line for line in shown if "--help" not in line]


def test_every_command_shows_examples(parsers):
    """Nobody has to work a command out from its options."""
    assert {name for name, one in parsers.items() if not examples(one)} == set()


def test_every_example_can_be_typed(parsers):
    """Each is read by the parser of its command without an error."""
    for name, parser in parsers.items():
        for line in examples(parser):
            words = shlex.split(line)
            whole = parsers.get(" ".join(words[:2])) or parsers[words[0]]
            rest = words[2:] if " ".join(words[:2]) in parsers else words[1:]
            parse(whole, rest, free=words[0] in ("find", "calc"))
            assert words[0] == name.split()[0]


def test_bare_fixbook_on_a_pipe_explains_itself(fixbook):
    """Without a terminal there is no bench screen, so the answer says what there is."""
    ran = fixbook()
    assert (ran.status, "examples:" in ran.out, "\n  job " in ran.out) == (0, True, True)


@pytest.mark.parametrize("words", [("help", "kit"), ("kit", "--help")])
def test_help_of_a_command_is_asked_for_in_two_ways(fixbook, words):
    """`help kit` is `kit --help`."""
    try:
        ran = fixbook(*words)
    except SystemExit as ended:
        assert ended.code == 0
    else:
        assert (ran.status, "usage: fixbook kit" in ran.out) == (0, True)


@pytest.mark.parametrize("word", ["--version", "-V"])
def test_the_version_is_told(fixbook, word):
    """One line, the name and the number."""
    ran = fixbook(word)
    assert re.fullmatch(r"fixbook \d+\.\d+\.\d+\n", ran.out)


@pytest.mark.parametrize(
    ("words", "near"),
    [(("--versoin",), "--version"), (("fnd", "x"), "find"), (("book", "dmo", "x"), "demo"),
     (("--book",), "folder")],
)  # fmt: skip
def test_a_slip_is_answered_with_what_was_meant(fixbook, words, near):
    """Close matches for options before a command, commands, and words of a command."""
    ran = fixbook(*words)
    assert (ran.status, near in ran.err) == (2, True)


def test_options_may_stand_between_the_words(fixbook):
    """`calc divider --json 12V …` reads like `calc --json divider 12V …`."""
    ran = fixbook("calc", "divider", "--json", "12V", "10k", "4k7")
    assert (ran.status, '"calculator": "divider"' in ran.out) == (0, True)
