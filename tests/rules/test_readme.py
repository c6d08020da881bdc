"""README shows true output: every command in it is run, in order, in an empty home."""

from __future__ import annotations

import os
import re
import shlex
import sys
from pathlib import Path

import pytest

from fixbook.cli.main import main

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
BLOCK = re.compile(r"^```console\n(.*?)^```$", re.DOTALL | re.MULTILINE)
INSTALLS = ("python3 -m venv", ".venv/bin/pip")
REWRITE = bool(os.environ.get("FIXBOOK_REWRITE"))
"""Whether to put the true output into README rather than compare it."""
CUT = "..."
"""A line of three dots stands for lines that are left out."""


def sessions(text: str) -> list[list[tuple[str, str]]]:
    """Give each block's commands with the output shown under them."""
    found = []
    for block in BLOCK.findall(text):
        parts = re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]
        found.append([(one.split("\n", 1)[0], one.split("\n", 1)[1]) for one in parts])
    return found


def run(command: str, capsys: pytest.CaptureFixture[str]) -> str:
    """Run one command of a session in this process and give what it printed."""
    words = shlex.split(command)
    if words[0] == "cd":
        os.chdir(words[1])
        return ""
    if words[0] == "cat":
        return Path(words[1]).read_text(encoding="utf-8")
    assert words[0] == "fixbook", f"README runs fixbook, not {words[0]}"
    capsys.readouterr()
    main(words[1:])
    out, err = capsys.readouterr()
    return out + err


def is_shown(shown: str, output: str) -> bool:
    """Say whether the shown lines are the output, with the dots standing for any lines."""
    pieces = [
        re.escape(piece)
        for piece in re.split(rf"^\s*{re.escape(CUT)}\n", shown, flags=re.MULTILINE)
    ]
    return re.fullmatch("(?:.*\n)*".join(pieces), output) is not None


def test_every_command_gives_the_output_that_is_shown(capsys, isolation, indexed_starter):
    """Whoever types what README shows sees what README shows, on the bench screen as well."""
    text = README.read_text(encoding="utf-8")
    rewritten = text
    for session in sessions(text):
        for command, shown in session:
            if command.startswith(INSTALLS):
                continue
            output = run(command, capsys)
            if REWRITE:
                rewritten = rewritten.replace(
                    f"$ {command}\n{shown}", f"$ {command}\n{_cut(shown, output)}", 1
                )
            else:
                assert is_shown(shown, output), f"$ {command}\n{output}"
    if os.name != "nt":  # there are no pseudo-terminals there
        rewritten = _compare_screen(rewritten)
    if rewritten != text:
        README.write_text(rewritten, encoding="utf-8")


def _cut(shown: str, output: str) -> str:
    """Give the new output, left out where it was: each piece begins with the line it began with."""
    if shown and is_shown(shown, output) and shown.strip() != CUT:
        return shown
    if shown.strip() == CUT or CUT not in shown.splitlines():
        return output
    lines, at, made = output.splitlines(keepends=True), 0, []
    for number, piece in enumerate(re.split(rf"^{re.escape(CUT)}\n", shown, flags=re.MULTILINE)):
        wanted = piece.splitlines(keepends=True)
        if number and wanted and wanted[0] in lines[at:]:
            at = lines.index(wanted[0], at)
        if number:
            made.append(f"{CUT}\n")
        made += lines[at : at + len(wanted)]
        at += len(wanted)
    return "".join(made)


SCREEN = re.compile(
    r"<!-- bench screen, (\d+) by (\d+), after typing: (.*?) -->\n\n```text\n(.*?)```", re.DOTALL
)


def _compare_screen(text: str) -> str:
    """Hold the bench screen in the text against a real one, on the book of the session.

    Gives the text, with the true screen in it where it is rewritten.
    """
    sys.path.insert(0, str(ROOT / "tests" / "screen"))
    from terminal import Terminal

    found = SCREEN.search(text)
    assert found
    with Terminal(int(found[1]), int(found[2])) as screen:
        screen.until("F6 job")
        screen.press(found[3])
        if REWRITE:
            shown = screen.settled(lambda shown: found[3] in shown and "Cautions" in shown)
            return text[: found.start(4)] + shown.strip("\n") + "\n" + text[found.end(4) :]
        screen.until(lambda shown: shown.strip("\n") + "\n" == found[4])
    return text


def test_the_installing_command_ends_in_a_search_and_the_second_in_the_tests():
    """Two commands on a fresh copy do everything, and CI runs the second as it stands."""
    first, second = [
        command for session in sessions(README.read_text(encoding="utf-8"))
        for command, _ in session if command.startswith(INSTALLS)
    ]  # fmt: skip
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "fixbook find" in first
    for part in second.replace(".venv/bin/", '"$bin/').split(" && "):
        assert (
            part.replace('"$bin/pip', '"$bin/pip"').replace('"$bin/pytest', '"$bin/pytest"') in ci
        )


def test_the_first_paragraph_states_the_job():
    """README opens with what the program is for, before anything else."""
    first = README.read_text(encoding="utf-8").split("\n\n")[1]
    assert first.startswith("fixbook is an offline knowledge base for the electronics repair bench")


STATIONS = ("find", "sheet", "calc", "narrow", "kit", "job import", "job suggest", "job link",
            "job rates", "write", "proof")  # fmt: skip


def test_readme_walks_the_whole_path():
    """From the search to the write-up that the next search finds, nothing of the way is missing."""
    typed = [
        command.removeprefix("fixbook ")
        for session in sessions(README.read_text(encoding="utf-8"))
        for command, _ in session
    ]
    walked = [one for one in STATIONS if any(command.startswith(one) for command in typed)]
    assert walked == list(STATIONS)
    assert typed[-1].startswith("find")
