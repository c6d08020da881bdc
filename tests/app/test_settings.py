"""`fixbook.toml`: what is wrong is named with its line and keeps its default; the rest holds."""

from __future__ import annotations

import pytest

from fixbook.core.shop import Meter, Shop
from fixbook.settings import read_shop


@pytest.fixture
def shop(tmp_path):
    """Read settings: `shop("warranty_days = 30")` gives the shop and its problems."""

    def read(text: str | bytes):
        data = text if isinstance(text, bytes) else text.encode()
        (tmp_path / "fixbook.toml").write_bytes(data)
        return read_shop(tmp_path)

    return read


def test_no_settings_are_the_defaults(tmp_path):
    """Everything may be left out."""
    assert read_shop(tmp_path) == (Shop(), [])


def test_every_setting_is_read(shop):
    """Each plain setting arrives with its value."""
    text = (
        'name = "Bench"\nstarter = false\nwarranty_days = 30\nmains_voltage = 120\nmains_hz = 60\n'
        'day_first = false\nstock = "stock.csv"\njobs = "sqlite://"\n'
    )
    assert shop(text) == (
        Shop("Bench", False, 30, 120.0, 60.0, False, "stock.csv", "sqlite://"),
        [],
    )


WRONG = {
    "text for truth": ('starter = "no"', "starter is 'no'", "true or false"),
    "number for truth": ("starter = 1", "starter is 1", "true or false"),
    "text for number": ('mains_hz = "50"', "mains_hz is '50'", "a number"),
    "truth for number": ("warranty_days = true", "warranty_days is True", "a whole number"),
    "part of a day": ("warranty_days = 90.5", "warranty_days is 90.5", "a whole number"),
    "negative": ("warranty_days = -3", "warranty_days is -3", "a whole number"),
    "zero hertz": ("mains_hz = 0", "mains_hz is 0", "a number"),
    "endless": ("mains_voltage = inf", "mains_voltage is inf", "a number"),
    "no number": ("mains_voltage = nan", "mains_voltage is nan", "a number"),
    "huge": (f"warranty_days = {'9' * 400}", "warranty_days is 9", "a whole number"),
    "number for text": ("name = 3", "name is 3", "a text"),
    "list for text": ("stock = []", "stock is []", "a text"),
    "table for text": ("[name]\na = 1", "name is {'a': 1}", "a text"),
    "date for text": ("name = 2026-01-01", "name is ", "a text"),
}


@pytest.mark.parametrize(("line", "what", "wanted"), WRONG.values(), ids=WRONG)
def test_a_wrong_value_is_named_and_keeps_its_default(line, what, wanted, shop):
    """The problem says what was found and what was expected, at its line."""
    found, (problem,) = shop(f"# the shop\n\n{line}\n")
    assert (found, problem.line) == (Shop(), 3)
    assert (what in problem.problem, wanted in problem.do) == (True, True)


def test_one_wrong_value_leaves_the_others(shop):
    """What is right holds, whatever stands beside it."""
    found, problems = shop('warranty_days = "x"\nmains_hz = 60\n')
    assert (found.mains_hz, len(problems)) == (60.0, 1)


def test_an_unknown_setting_has_close_matches(shop):
    """A misspelt key is reported at its line with the near one."""
    _, (problem,) = shop('name = "Bench"\nwaranty_days = 3\n')
    assert (problem.line, problem.do) == (2, "did you mean warranty_days?")


UNREADABLE = {
    "no TOML": ("name: x\n", 1),
    "second line": ('name = "x"\nmains_hz =\n', 2),
    "repeated": ('name = "x"\nname = "y"\n', 2),
    "not UTF-8": (b'name = "\xff"\n', 1),
    "deep": ("a = " + "[" * 5000, 1),
    "endless number": (f"a = {'9' * 5000}", 1),
    "null": (b"\x00", 1),
}


@pytest.mark.parametrize(("text", "line"), UNREADABLE.values(), ids=UNREADABLE)
def test_settings_that_cannot_be_read_are_reported(text, line, shop):
    """A broken file is one problem, at its line where that is known, and all defaults hold."""
    found, (problem,) = shop(text)
    assert (found, problem.line, problem.do) == (Shop(), line, "mend the file")
    assert problem.problem.startswith("not readable: ")


def test_a_byte_order_mark_does_no_harm(shop):
    """An editor's mark at the beginning is passed over."""
    assert shop(b'\xef\xbb\xbfname = "x"\n') == (Shop(name="x"), [])


METER = '[[meters]]\nreads = "ohms"\npercent = 0.5\ncounts = 2\nresolution = "0.1 ohm"\n'


def test_a_meter_is_read_with_its_range(shop):
    """Accuracy, counts, resolution and range, in base units."""
    found, problems = shop(METER + 'up_to = "600 ohm"\n')
    assert (found.meters, problems) == ((Meter("ohms", 0.5, 2.0, 0.1, 600.0),), [])


@pytest.mark.parametrize(("typed", "near"), [("volt", "dc or ac-rms"), ("xyz", "one of ohms, esr")])
def test_a_meter_of_no_reading_is_told_the_readings(typed, near, shop):
    """By its unit where that tells; else all are listed, and no reason stays empty."""
    _, (problem,) = shop(METER.replace("ohms", typed))
    assert f"reads = '{typed}' is no reading that is known; " in problem.problem
    assert near in problem.problem


METERS = {
    "a number": "meters = 3",
    "no reads": '[[meters]]\npercent = 1\nresolution = "1 V"',
    "no percent": '[[meters]]\nreads = "dc"\nresolution = "1 V"',
    "unknown reads": METER.replace("ohms", "omhs"),
    "unknown field": METER + "digits = 3\n",
    "wrong unit": METER.replace("0.1 ohm", "0.1 V"),
    "percent is text": METER.replace("0.5", '"much"'),
    "counts is text": METER.replace("counts = 2", 'counts = "few"'),
    "counts is a list": METER.replace("counts = 2", "counts = [2]"),
    "counts is endless": METER.replace("counts = 2", f"counts = {'9' * 400}"),
}


@pytest.mark.parametrize("text", METERS.values(), ids=METERS)
def test_a_wrong_meter_is_reported_and_left_out(text, shop):
    """A meter that cannot be used is named, with how one is written."""
    found, (problem,) = shop(text)
    assert (found.meters, problem.problem[:8]) == ((), "meters: ")
    assert 'reads = "ohms"' in problem.do


def test_one_wrong_meter_leaves_the_others(shop):
    """Meters are read one by one."""
    found, problems = shop(METER + METER.replace("ohms", "omhs"))
    assert (len(found.meters), len(problems)) == (1, 1)


def test_plugins_have_their_own_tables(shop):
    """`[plugin.NAME]` is kept as texts for the plugin."""
    found, problems = shop("[plugin.drawers]\ncount = 12\n")
    assert (found.other, problems) == ({"drawers": {"count": "12"}}, [])


def test_every_command_tells_wrong_settings_and_goes_on(book, fixbook):
    """A setting that is not in force is told on the error stream, with its line."""
    book.add("amp-one")
    path = book.folder / "fixbook.toml"
    path.write_text('starter = false\nmains_hz = "50"\n', encoding="utf-8")
    ran = fixbook("find", "drone")
    assert (ran.status, f"fixbook: {path}:2:1: mains_hz is '50'" in ran.err) == (0, True)


def test_settings_cannot_write_to_the_terminal(book, fixbook):
    """Escape sequences in a wrong value are printed as marks."""
    text = 'starter = false\nmains_hz = "\\u001b]0;mine\\u0007"\n"\\u001b[2J" = 1\n'
    (book.folder / "fixbook.toml").write_text(text, encoding="utf-8")
    assert not {"\x1b", "\x07"} & set(fixbook("find", "drone").err)
