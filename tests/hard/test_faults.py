"""Short forms of the hard scripts beside this file, and faults that these have found."""

from __future__ import annotations

import os
import sys
import tempfile
from datetime import date
from pathlib import Path

import pytest
from fixbook_plugins.job_history.dates import DateError, read_date

from fixbook.cli.main import main
from fixbook.core.quantity import VOLTS
from fixbook.core.reading import read_range, read_tolerance
from fixbook.errors import QuantityError
from fixbook.search.folder import LOCK, writer_lock
from fixbook.store.document import compose
from fixbook.store.writing import PARTIAL, STALE_S, write_text

sys.path.insert(0, str(Path(__file__).parent))
import fuzz

NOBODY = 65534


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="root gives its rights up")
def test_a_book_that_may_not_be_entered_is_told(capsys):
    """A folder whose permissions shut its user out is an error in words."""
    with tempfile.TemporaryDirectory() as outer:  # a test's own folder is closed to others
        Path(outer).chmod(0o755)
        folder = Path(outer, "book")
        folder.mkdir()
        (folder / "fixbook.toml").write_text("starter = false\n")
        folder.chmod(0o700)
        main(["--book", str(folder), "find", "hum"])  # loads what only root may read
        capsys.readouterr()
        os.seteuid(NOBODY)
        try:
            status = main(["--book", str(folder), "find", "hum"])
        finally:
            os.seteuid(0)
    assert (status, "may not be entered" in capsys.readouterr().err) == (2, True)


@pytest.mark.parametrize("make", ["folder", "link"])
def test_what_stands_in_place_of_the_lock_is_taken_away(make, tmp_path):
    """An index whose lock is no file can be written all the same."""
    if make == "folder":
        (tmp_path / LOCK).mkdir()
    else:
        (tmp_path / LOCK).symlink_to("nowhere")
    with writer_lock(tmp_path, 0) as held:
        assert held and (tmp_path / LOCK).is_file()


def test_a_write_sweeps_up_what_killed_writes_left(tmp_path):
    """Wherever a writer was killed, the next write there clears its leavings, once they are old."""
    for name in ("old", "young"):
        (tmp_path / f"{PARTIAL}{name}").write_text("x")
    os.utime(tmp_path / f"{PARTIAL}old", (1, 1))
    assert STALE_S > 60
    write_text(tmp_path / "a.md", "words")
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"{PARTIAL}young", "a.md"]


@pytest.mark.parametrize("target", fuzz.TARGETS)
def test_hostile_text_raises_nothing_and_hangs_nowhere(target):
    """Some made-up inputs of each kind; the script beside this tries a million."""
    counts = fuzz.main(15, [target])[target]
    assert (counts["raised"], counts["hung"], counts["fat"]) == (0, 0, False)


@pytest.mark.parametrize("text", ["1} .. 1/2", "{0.__class__} .. 1,", "+1/2/-{x}", "{7} .. ½"])
def test_braces_in_a_value_are_text(text):
    """A value with signs of a format in it is refused in words, and nothing is looked up."""
    for work in (lambda: read_range(text, VOLTS), lambda: read_tolerance(text)):
        with pytest.raises(QuantityError):
            work()


def test_a_file_of_very_many_values_is_refused_at_once():
    """A file may have a quarter of a million items; it is told, and not read to its end."""
    front, problems = compose("a: [" + "x," * 250_000 + "]\n", "a.md")
    assert (front, ["60,000 values" in one.problem for one in problems]) == (None, [True])


def test_a_very_long_cell_is_no_date_at_once():
    """Ten million letters in the place of a date are refused by their number."""
    with pytest.raises(DateError, match="letters more is no date"):
        read_date("ab " * 3_300_000, day_first=True, today=date(2026, 11, 25))
