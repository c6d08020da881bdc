"""What a command needs of a terminal: styles, widths, cautions of a sitting, and how it ends."""

from __future__ import annotations

import io
import json
import sys

import pytest

from fixbook.cli import find, sheet
from fixbook.cli.main import main
from fixbook.cli.session import Session
from fixbook.render.lines import width_of


class Terminal(io.StringIO):
    """An output that says it is a terminal."""

    def isatty(self) -> bool:
        """Say yes."""
        return True


@pytest.fixture
def one(write):
    """Give a book with a write-up that has two hazards."""
    return write("amp-one", title="One side hums", hazards=["mains", "laser"])


def styled(environment: dict[str, str], out: io.StringIO | None = None) -> str:
    """Show a sheet to a terminal, and give what was written."""
    out = Terminal() if out is None else out
    session = Session(environment={"FIXBOOK_BOOK": BOOK[0], **environment}, out=out, err=out)
    sheet.run(["amp-one"], session)
    return out.getvalue()


BOOK: list[str] = []


@pytest.fixture(autouse=True)
def folder(book):
    """Remember the book for sessions with an environment of their own."""
    BOOK[:] = [str(book.folder)]


def test_a_terminal_gets_styles(one):
    """The title stands out where that is possible."""
    assert "\x1b[1mOne side hums\x1b[0m" in styled({})


@pytest.mark.parametrize(
    "environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=["NO_COLOR", "dumb"]
)
def test_styles_can_be_refused(environment, one):
    """NO_COLOR and a dumb terminal get plain text."""
    assert "\x1b" not in styled(environment)


def test_an_empty_no_color_refuses_nothing(one):
    """The variable counts when it is not empty, as its convention says."""
    assert "\x1b" in styled({"NO_COLOR": ""})


def test_a_pipe_gets_plain_text(one):
    """What is not a terminal gets no styles at all."""
    assert "\x1b" not in styled({}, io.StringIO())


def test_plain_text_says_everything_that_styled_text_says(one):
    """Nothing is told by colour alone: the same words come through a pipe."""
    import re

    assert re.sub(r"\x1b\[[0-9;]*m", "", styled({})) == styled({"NO_COLOR": "1"}, io.StringIO())


@pytest.mark.parametrize("columns", ["40", "60", "80", "120", "200"])
@pytest.mark.parametrize("words", [("find", "hums"), ("sheet", "amp-one"), ("calc",)],
                         ids=lambda words: words[0])  # fmt: skip
def test_output_keeps_to_the_terminal(words, columns, one, fixbook, monkeypatch):
    """Lines are as wide as the terminal at most, and never wider than can be read."""
    monkeypatch.setenv("COLUMNS", columns)
    lines = fixbook(*words).out.split("\n")
    commands = [line for line in lines if line.startswith("  fixbook ")]  # these are never broken
    wide = [line for line in lines if width_of(line) > min(int(columns), 110)]
    assert [line for line in wide if line not in commands] == []


@pytest.mark.parametrize("columns", ["0", "-5", "wide", "1", "100000"])
def test_a_strange_width_is_no_fault(columns, one, fixbook, monkeypatch):
    """Whatever the environment says about the width, there is an answer."""
    monkeypatch.setenv("COLUMNS", columns)
    assert fixbook("sheet", "amp-one").status == 0


FULL = "Invisible light harms the eye."
SHORT = "! Invisible light."


def test_full_cautions_are_shown_once_a_sitting(one):
    """On a terminal the whole text comes once; the short form comes every time."""
    first, second = styled({"NO_COLOR": "1"}), styled({"NO_COLOR": "1"})
    assert (FULL in first, FULL in second, SHORT in first, SHORT in second) == (
        True, False, True, True,
    )  # fmt: skip


def test_full_cautions_can_be_asked_for(one):
    """`--cautions` shows them again."""
    styled({})
    out = Terminal()
    session = Session(environment={"FIXBOOK_BOOK": BOOK[0]}, out=out, err=out)
    sheet.run(["amp-one", "--cautions"], session)
    assert FULL in out.getvalue()


def test_a_pipe_always_has_full_cautions(one):
    """What may be printed on paper has the whole text each time."""
    styled({})
    assert FULL in styled({}, io.StringIO())


def test_a_new_hazard_has_its_full_text_in_the_same_sitting(one, write):
    """A text counts as seen for its own hazard alone."""
    write("amp-one", hazards=["mains"])
    assert FULL not in styled({"NO_COLOR": "1"})
    write("amp-one", hazards=["mains", "laser"])
    assert FULL in styled({"NO_COLOR": "1"})


def test_an_interrupt_ends_quietly(one, fixbook, monkeypatch):
    """Ctrl-C gives status 130 and no traceback."""

    def interrupts(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(find, "run", interrupts)
    ran = fixbook("find", "hum")
    assert (ran.status, ran.out, ran.err) == (130, "", "\n")


@pytest.fixture
def fails(monkeypatch, tmp_path):
    """Make the program itself fail, and give the folder where it may leave its traceback."""

    def broken(*_: object) -> int:
        raise RuntimeError("a secret of the inside")

    monkeypatch.setattr(find, "run", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    return tmp_path


def test_the_programs_own_fault_shows_no_traceback(fails, fixbook):
    """The user gets a sentence and a file to report, status 2."""
    ran = fixbook("find", "hum")
    assert (ran.status, ran.out) == (2, "")
    assert "a fault of the program itself: RuntimeError" in ran.err
    assert "Traceback" not in ran.err


def test_the_traceback_of_a_fault_is_kept_in_a_file(fails, fixbook):
    """What is needed to mend it is in the file that is named."""
    said = fixbook("find", "hum").err
    (path,) = fails.glob("fixbook-fault-*.txt")
    assert str(path) in said
    assert "a secret of the inside" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [("fnd", "hum"), ("",), ("\x1b[2J",), ("x" * 5000,)],
                         ids=["find", "empty", "escape", "long"])  # fmt: skip
def test_an_unknown_command_is_refused_in_words(words, book, fixbook):
    """A misspelt command names the near ones and prints nothing raw."""
    ran = fixbook(*words)
    assert (ran.status, ran.out, "there is no command" in ran.err) == (2, "", True)
    assert "\x1b" not in ran.err


def test_an_option_before_any_command_is_refused_in_words(book, fixbook):
    """It says where options stand."""
    ran = fixbook("--jsn")
    assert (ran.status, ran.out) == (2, "")
    assert "options of a command stand after it" in ran.err


def test_an_unknown_command_has_close_matches(book, fixbook):
    """`fnd` names `find`."""
    assert "did you mean find?" in fixbook("fnd").err


def test_bare_fixbook_in_a_pipe_shows_what_there_is(book, fixbook):
    """Without a terminal there is no screen: the commands are listed, the plugins' included."""
    ran = fixbook()
    assert (ran.status, ran.err) == (0, "")
    assert all(
        f"\n  {name} " in ran.out for name in ("find", "sheet", "calc", "proof", "book", "kit")
    )


def test_the_version_is_one_line(fixbook):
    """`--version` names program and version."""
    assert fixbook("--version").out.split()[0] == "fixbook"


def test_errors_as_json_have_one_shape(book, fixbook):
    """Every command's error under --json can be read by one script."""
    for words in (("find", "--unit", "x"), ("sheet", "x"), ("calc", "x"), ("fnd",), ("proof", "x"),
                  ("find", "--zzz"), ("--book", "x", "find"), ("book", "x")):  # fmt: skip
        ran = fixbook(*words, "--json")
        error = json.loads(ran.out)
        assert (ran.status, list(error)) == (2, ["error"]), words
        assert list(error["error"]) == ["input", "read", "why", "choices"], words


def test_an_output_that_knows_no_sign_gets_an_escape(one, monkeypatch):
    """On a terminal of few letters a strange one is written out, and nothing fails."""
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    assert main(["find", "hums", "電源"]) == 0
    sys.stdout.flush()
    assert raw.getvalue().isascii()


def test_a_closed_output_is_no_fault(one, monkeypatch, capsys):
    """Started without an output the program does its work and says nothing."""
    monkeypatch.setattr(sys, "stdout", None)
    assert (main(["--version"]), capsys.readouterr().err) == (0, "")
