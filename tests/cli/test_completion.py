"""Completing command lines: what may come next is read off the commands' own parsers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.cli.completing import FILES, complete
from fixbook.cli.completion import SCRIPTS
from fixbook.cli.session import Session
from fixbook.settings import Place


@pytest.fixture(scope="module")
def session(tmp_path_factory) -> Session:
    """Open the starter book once for all tests that only ask."""
    home = tmp_path_factory.mktemp("home")
    made = Session()
    folders = Folders(home / "cache", home / "data", home / "settings")
    made.__dict__["library"] = Library(Place(None, "nothing"), folders)
    return made


@pytest.fixture
def candidates(session):
    """Give the candidates for the last word: `candidates("find", "--un")`."""

    def ask(*typed: str) -> list[str]:
        return [one.text for one in complete(session, typed)]

    return ask


def test_commands_come_first(candidates):
    """An empty line offers every command, the plugins' included."""
    assert {"find", "sheet", "job", "kit", "narrow"} <= set(candidates(""))


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        (("fi",), "find"),
        (("--",), "--version"),
        (("find", "--un"), "--unit"),
        (("find", "--unit", "po"), "power-amplifier"),
        (("find", "--unit", "=", "po"), "power-amplifier"),
        (("sheet", "amp-dc"), "amp-dc-offset"),
        (("kit", "amp-dc-offset", "amp-r"), "amp-relay-contacts"),
        (("calc", "esr-l"), "esr-limit"),
        (("calc", "divider", "up"), "upper="),
        (("job", "cl"), "close"),
        (("job", "list", "--stage", "on-b"), "on-bench"),
        (("job", "list", "--outcome", "fi"), "fixed"),
        (("job", "estimate", "amp-dc"), "amp-dc-offset"),
        (("book", "ba"), "backup"),
        (("find", "--sign", "hum-f"), "hum-frequency"),
        (("find", "--state", "be"), "bench-proven"),
        (("completion", "f"), "fish"),
        (("narrow", "--unit", "tu"), "turntable"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else one,
)
def test_what_may_come_next_is_offered(candidates, typed, wanted):
    """Options, words of options, write-ups, calculators, inputs, units, signs."""
    assert wanted in candidates(*typed)


@pytest.mark.parametrize("typed", [("job", "import", ""), ("book", "new", ""), ("proof", "e")])
def test_files_are_left_to_the_shell(candidates, typed):
    """Where a file is wanted the shell offers its own."""
    assert candidates(*typed) == [FILES]


@pytest.mark.parametrize("typed", [("nosuch", ""), ("find", "--nosuch", ""), ("job", "nosuch", "")])
def test_a_line_that_cannot_be_read_has_no_candidates(candidates, typed):
    """Nothing is offered, and nothing is said into the middle of a prompt."""
    assert [one for one in candidates(*typed) if one.startswith("no")] == []


def test_write_ups_of_the_named_book_are_offered(book, monkeypatch):
    """`--book DIR` before the command is heeded."""
    monkeypatch.delenv("FIXBOOK_BOOK")
    book.add("amp-own-fault")
    found = complete(Session(), ("--book", str(book.folder), "sheet", "amp-o"))
    assert [one.text for one in found] == ["amp-own-fault"]


def test_words_that_a_shell_would_run_are_never_offered(book):
    """A vocabulary from elsewhere cannot put a command on somebody's prompt."""
    words = book.folder / "entries" / "vocabulary" / "bad.yaml"
    words.write_text("units:\n  'a;touch x': {name: bad}\n", encoding="utf-8")
    assert all(";" not in one.text for one in complete(Session(), ("find", "--unit", "")))


@pytest.mark.parametrize("shell", SCRIPTS)
def test_each_shell_has_its_script(fixbook, shell):
    """The script asks the program, so it never grows old."""
    ran = fixbook("completion", shell)
    assert (ran.status, f"completion words {shell}" in ran.out) == (0, True)


def test_an_unknown_shell_is_refused_with_those_there_are(fixbook):
    """Whoever asks for another reads which there are."""
    ran = fixbook("completion", "csh")
    assert (ran.status, "fish" in ran.err) == (2, True)


@pytest.mark.parametrize(
    ("shell", "shown"),
    [("bash", "find\n"), ("zsh", "find:search by"), ("fish", "find\tsearch by")],
)
def test_candidates_come_in_the_form_of_the_shell(fixbook, shell, shown):
    """Two of the shells show a few words beside each."""
    assert fixbook("completion", "words", shell, "fin").out.startswith(shown)


ASK_BASH = 'source "$1"; COMP_WORDS=(fixbook find --unit po); COMP_CWORD=3; _fixbook; echo "${COMPREPLY[@]}"'
ASK_ZSH = """source "$1"; _describe() { print -l -- "${(@P)2}"; }
words=(fixbook find --unit po); CURRENT=4; _fixbook"""
ASK_FISH = "source $argv[1]; complete -C 'fixbook find --unit po'"


@pytest.mark.parametrize(
    ("shell", "ask"),
    [
        ("bash", ["bash", "-c", ASK_BASH, "bash"]),
        ("zsh", ["zsh", "-c", f"compdef() {{ }}; {ASK_ZSH}", "zsh"]),
        ("fish", ["fish", "-c", ASK_FISH]),
    ],
)
def test_the_shell_itself_completes(fixbook, tmp_path, isolation, shell, ask):
    """The script does in the shell what it is for."""
    if shutil.which(shell) is None or os.name == "nt":
        pytest.skip(f"there is no {shell} here")
    script = tmp_path / "script"
    script.write_text(fixbook("completion", shell).out, encoding="utf-8")
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    done = subprocess.run(
        [*ask, str(script)],
        env={**os.environ, "PATH": path}, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.stdout.split()[0].startswith("power-amplifier"), done.stderr
