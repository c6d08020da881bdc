"""A technician's way through the installed program, as processes of their own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys

import pytest


def test_from_a_symptom_to_the_write_up(process, indexed_starter):
    """A search ends in an id, and the id opens its sheet."""
    hits = json.loads(process("find", "hums", "--json").stdout)["hits"]
    shown = process("sheet", hits[0]["id"])
    assert (shown.returncode, shown.stderr) == (0, "")
    assert hits[0]["title"].split()[0] in shown.stdout


def test_a_shops_own_book_from_nothing(process, tmp_path):
    """Make a book, write into it from inside, and find it at once; then mend a fault in it."""
    process("book", "new", "bench", cwd=tmp_path)
    folder = tmp_path / "bench" / "entries" / "technique"
    folder.mkdir()
    text = "---\nid: quibblewort\nkind: technique\ntitle: Clean a quibblewort\nunit: technique\n"
    (folder / "quibblewort.md").write_text(f"{text}stat: written\n---\n\n1. Wipe it.\n", "utf-8")
    inside = tmp_path / "bench"
    found = process("find", "quibblewort", cwd=inside)
    proofed = process("proof", cwd=inside)
    assert (found.returncode, "Clean a quibblewort" in found.stdout) == (0, True)
    assert (proofed.returncode, "did you mean state?" in proofed.stdout) == (1, True)


def test_inputs_of_a_sum_through_a_pipe(process):
    """JSON in, JSON out."""
    given = json.dumps({"capacitance": "470uF", "rated_voltage": 25, "measured": 0.35})
    ran = process("calc", "esr-limit", "--from", "-", "--json", input=given)
    assert (ran.returncode, json.loads(ran.stdout)["inputs"]["measured"]["value"]) == (0, 0.35)


def test_the_module_is_the_command(process):
    """`python -m fixbook` does what the command does."""
    ran = subprocess.run(
        [sys.executable, "-m", "fixbook", "--version"], capture_output=True, text=True, check=True
    )
    assert ran.stdout == process("--version").stdout


def test_several_processes_at_once_give_the_same_answer(command, book):
    """Searches that begin together, with no index yet, all answer, and all the same."""
    for number in range(30):
        book.add(f"amp-{number:03}", title=f"Quibblewort {number}")
    started = [
        subprocess.Popen(
            [command, "find", "quibblewort", "--json"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for _ in range(4)
    ]
    answers = [one.communicate(timeout=60) for one in started]
    assert [one.returncode for one in started] == [0] * 4
    assert {json.loads(out)["total"] for out, _ in answers} == {30}
    assert {err for _, err in answers} == {b""}


@pytest.mark.parametrize("words", [("calc",), ("find",), ("find", "--json", "--limit", "100")],
                         ids=["calc", "find", "json"])  # fmt: skip
def test_a_reader_that_has_seen_enough_is_no_fault(words, command, book):
    """A pipe that is closed at the other end gives no traceback and no message."""
    book.add("amp-one")
    reader, writer = os.pipe()
    os.close(reader)
    ran = subprocess.run(
        [command, *words], stdout=writer, stderr=subprocess.PIPE, timeout=60, check=False
    )
    os.close(writer)
    assert (ran.returncode, ran.stderr) == (0, b"")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="the system has no full device")
def test_a_full_disk_is_told_in_words(command):
    """An answer that cannot be written is an error, in a sentence."""
    with open("/dev/full", "w") as full:
        ran = subprocess.run(
            [command, "calc"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    assert (ran.returncode, ran.stderr) == (
        2,
        (
            "fixbook: the answer cannot be written: No space left on device\n"
            "  make room where it was sent to, or send it elsewhere\n"
        ),
    )


def test_words_that_are_no_text_are_searched_too(command, book):
    """Bytes on the command line that are no text are no fault."""
    ran = subprocess.run(
        [command, "find", b"hum\xff\xfe"], capture_output=True, timeout=60, check=False
    )
    assert (ran.returncode in (0, 1), ran.stderr) == (True, b"")


def test_a_plain_locale_is_no_fault(process):
    """In a locale of few letters every answer can still be written."""
    ran = process("calc", "--json", env={**os.environ, "LC_ALL": "C", "PYTHONUTF8": "0"})
    assert (ran.returncode, ran.stderr) == (0, "")


def test_a_killed_search_leaves_nothing_broken(command, process, book, isolation):
    """A process that was killed while it indexed leaves an index that the next one can use."""
    for number in range(200):
        book.add(f"amp-{number:03}", title=f"Quibblewort {number}")
    started = subprocess.Popen([command, "find", "quibblewort"], stdout=subprocess.DEVNULL)
    started.kill()
    started.wait()
    assert json.loads(process("find", "quibblewort", "--json").stdout)["total"] == 200
    shutil.rmtree(isolation / "cache")
    assert json.loads(process("find", "quibblewort", "--json").stdout)["total"] == 200
