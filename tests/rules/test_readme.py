"""README shows true output: every command in it is run, in order, in an empty home."""

from __future__ import annotations

import os
import re
import shlex
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


def test_every_command_gives_the_output_that_is_shown(capsys, isolation):
    """Whoever types what README shows sees what README shows."""
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
    if rewritten != text:
        README.write_text(rewritten, encoding="utf-8")


def _cut(shown: str, output: str) -> str:
    """Keep as many lines of the new output as were shown, where it was cut before."""
    lines = output.splitlines(keepends=True)
    keep = shown.splitlines().index(CUT) if CUT in shown.splitlines() else len(lines)
    return "".join(lines[:keep]) + (f"{CUT}\n" if keep < len(lines) else "")


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
