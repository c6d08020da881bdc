"""`fixbook calc`: the list, help, inputs of every kind, JSON, errors."""

from __future__ import annotations

import io
import json

import pytest

PLUGIN = '''\
"""Shelf lamps: what they take and give."""

from dataclasses import dataclass
from typing import Annotated, Literal

from fixbook.api import *


@dataclass(frozen=True)
class Step:
    """One step of a run."""

    time: Seconds
    current: Amps


@calculator(
    "lamp-power",
    formula="P = V I",
    sources=[Source("a handbook of lamps, table 1")],
    cautions=["Let the lamp cool before you touch it."],
    gives={"power": "what the lamp takes", "colour": "of its light", "spare": "nothing yet"},
)
def lamp_power(
    voltage: Annotated[Volts, "across the lamp", within(0, 1000)],
    current: Amps,
    mode: Literal["cold", "hot"] = "hot",
    dimmed: bool = False,
) -> Answer:
    """What does the shelf lamp take?"""
    power = voltage * current
    return Answer(
        [Value("power", power, WATTS), Value("colour", "warm"), Value("spare", None)],
        verdict="fail" if power > 100 else "pass",
        word="high" if power > 100 else "good",
        why=f"{power:g} W beside 100 W allowed.",
        notes=["measured at the socket"],
        assumptions=["a steady supply"],
    )


@calculator("lamp-charge")
def lamp_charge(runs: tuple[Step, ...], window: OhmSpan | None = None) -> Answer:
    """What charge do the runs take?"""
    total = sum(one.time * one.current for one in runs)
    return Answer([Value("charge", total, COULOMBS)])


@calculator("lamp-blind")
def lamp_blind(voltage: Volts) -> Answer:
    """What does it divide by?"""
    return Answer([Value("answer", 1 / (voltage - voltage), OHMS)])


@calculator("lamp-misspelt", gives={"resistance": "when hot"})
def lamp_misspelt(voltage: Volts, current: Amps) -> Answer:
    """What is it called?"""
    return Answer([Value("resistnce", voltage / current, OHMS)])


@calculator("lamp-bare")
def lamp_bare(voltage) -> Answer:
    """What is it?"""
    return Answer([])


@hook
def fixbook_calculators():
    return calculators_in(globals())
'''


@pytest.fixture
def calc(book, fixbook):
    """Run a calculator of a trusted plugin: `calc("lamp-power", "12V", "2A")`."""
    (book.folder / "plugins").mkdir()
    (book.folder / "plugins" / "lamps.py").write_text(PLUGIN, encoding="utf-8")
    fixbook("book", "trust", "--yes")

    def run(*words: str):
        return fixbook("calc", *words)

    return run


def error_of(ran) -> dict[str, object]:
    """Give the error of a command that printed one as JSON; its status is 2."""
    assert (ran.status, ran.err) == (2, "")
    return json.loads(ran.out)["error"]


def test_the_list_groups_calculators_by_what_they_are_for(calc):
    """Each plugin's first line heads its calculators, each with its question."""
    lines = [" ".join(line.split()) for line in calc().out.split("\n")]
    at = lines.index("Shelf lamps: what they take and give")
    assert lines[at + 1] == "lamp-power What does the shelf lamp take?"


def test_the_list_as_json(calc):
    """Every calculator with its question and what it is for."""
    rows = json.loads(calc("--json").out)
    assert {
        "calculator": "lamp-power",
        "question": "What does the shelf lamp take?",
        "for": "Shelf lamps: what they take and give",
    } in rows


@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_help_of_a_calculator(flag, calc):
    """Help shows the question, the inputs and the formula, and computes nothing."""
    ran = calc("lamp-power", flag)
    assert (ran.status, "formula: P = V I" in ran.out, "verdict" in ran.out) == (0, True, False)


def test_help_is_given_though_a_file_has_the_calculators_name(calc, isolation):
    """What lies in the folder one is in changes no help."""
    (isolation / "lamp-power").mkdir()
    assert "formula: P = V I" in calc("lamp-power", "--help").out


def test_help_of_the_command(calc):
    """`calc --help` explains the command."""
    ran = calc("--help")
    assert (ran.status, "usage: fixbook calc" in ran.out) == (0, True)


def test_help_of_an_unknown_calculator(calc):
    """A misspelt name has close matches in help too, however long it is."""
    assert "did you mean lamp-power" in calc("lamp-powr", "--help").err
    assert calc("x" * 5000, "--help").status == 2


WAYS = {
    "in order": ("12V", "2A"),
    "by name": ("voltage=12V", "current=2A"),
    "by name, other order": ("current=2A", "voltage=12V"),
    "by beginning": ("v=12", "c=2"),
    "name, then order": ("current=2", "12"),
    "in capitals": ("VOLTAGE=12 V", "Current=2 A"),
}


@pytest.mark.parametrize("words", WAYS.values(), ids=WAYS)
def test_inputs_in_any_way(words, calc):
    """By position, by name, or by any unique beginning of a name, in any order."""
    data = json.loads(calc("lamp-power", *words, "--json").out)
    assert data["answers"]["power"] == {"value": 24.0, "unit": "W", "text": "24 W"}


def test_the_shape_of_the_json(calc):
    """The keys that scripts rely on, in their order, and nothing else."""
    data = json.loads(calc("lamp-power", "12V", "2A", "--json").out)
    assert list(data) == [
        "calculator", "inputs", "answers", "verdict", "word", "why", "assumptions", "notes",
        "cautions", "formula", "sources",
    ]  # fmt: skip


def test_the_values_of_the_json(calc):
    """Inputs and answers have value, unit and text; the rest are texts and lists of texts."""
    data = json.loads(calc("lamp-power", "12V", "2A", "mode=cold", "--json").out)
    assert data["inputs"] == {
        "voltage": {"value": 12.0, "unit": "V", "text": "12 V"},
        "current": {"value": 2.0, "unit": "A", "text": "2 A"},
        "mode": {"value": "cold", "unit": None, "text": "cold"},
        "dimmed": {"value": False, "unit": None, "text": "no"},
    }
    assert data["answers"]["colour"] == {"value": "warm", "unit": None, "text": "warm"}
    assert data["answers"]["spare"] == {"value": None, "unit": None, "text": ""}
    assert (data["verdict"], data["word"], data["why"]) == (
        "pass", "good", "24 W beside 100 W allowed.",
    )  # fmt: skip
    assert (data["notes"], data["cautions"], data["formula"]) == (
        ["measured at the socket"], ["Let the lamp cool before you touch it."], "P = V I",
    )  # fmt: skip
    assert data["sources"] == ["a handbook of lamps, table 1 (published source)"]
    assert "a steady supply" in data["assumptions"]


def test_without_a_verdict_it_is_null(calc):
    """Where no verdict makes sense there is none, and no reason either."""
    data = json.loads(calc("lamp-charge", "runs=time=2 current=3", "--json").out)
    assert (data["verdict"], data["word"], data["why"]) == (None, None, "")


def test_a_fail_is_an_answer(calc):
    """A verdict of `fail` is status 0: the question was answered."""
    ran = calc("lamp-power", "230V", "2A")
    assert (ran.status, "verdict: fail, high" in ran.out) == (0, True)


def test_a_caution_stands_before_the_figures(calc):
    """What can hurt is read first."""
    out = calc("lamp-power", "12V", "2A").out
    assert out.index("! Let the lamp cool") < out.index("verdict")


REFUSED = {
    "unknown input": (("watts=3",), "watts", "watts"),
    "wrong kind": (("12A", "2A"), "voltage", "12A"),
    "no number": (("lots", "2A"), "voltage", "lots"),
    "out of range": (("2000V", "2A"), "voltage", "2000V"),
    "unknown choice": (("12V", "2A", "mode=warm"), "mode", "warm"),
    "neither yes nor no": (("12V", "2A", "dimmed=perhaps"), "dimmed", "perhaps"),
    "given twice": (("12V", "2A", "voltage=3V"), "voltage", "3V"),
    "NaN": (("nan", "2A"), "voltage", "nan"),
    "absurd": (("1e300V", "2A"), "voltage", "1e300V"),
    "unit twice": (("12VV", "2A"), "voltage", "12VV"),
    "empty": (("voltage=", "2A"), "voltage", ""),
    "escape": (("\x1b[2J", "2A"), "voltage", "\x1b[2J"),
}


@pytest.mark.parametrize(("words", "name", "read"), REFUSED.values(), ids=REFUSED)
def test_an_error_as_json_names_the_input_and_what_was_read(words, name, read, calc):
    """Never a wrong number in silence: the error has its input, what was read, and why."""
    error = error_of(calc("lamp-power", *words, "--json"))
    assert list(error) == ["input", "read", "why", "choices"]
    assert (error["input"], error["read"]) == (name, read)
    assert error["why"]


@pytest.mark.parametrize(("words", "name", "read"), REFUSED.values(), ids=REFUSED)
def test_an_error_in_words_prints_no_control_character(words, name, read, calc):
    """The sentence goes to the error stream, alone and clean."""
    ran = calc("lamp-power", *words)
    assert (ran.status, ran.out, ran.err[:9]) == (2, "", "fixbook: ")
    assert "\x1b" not in ran.err


def test_close_matches_for_a_wrong_input(calc):
    """A misspelt input names the near one."""
    error = error_of(calc("lamp-power", "voltige=3V", "--json"))
    assert "did you mean voltage" in error["why"]


def test_close_matches_for_a_wrong_calculator(calc):
    """A misspelt calculator names the near ones."""
    error = error_of(calc("lamp-powr", "--json"))
    assert (error["input"], error["read"], error["choices"][0]) == (
        "calculator", "lamp-powr", "lamp-power",
    )  # fmt: skip


def test_the_choices_are_listed_for_a_wrong_choice(calc):
    """An unknown choice is answered with those there are."""
    assert error_of(calc("lamp-power", "12V", "2A", "mode=x", "--json"))["choices"] == [
        "cold", "hot",
    ]  # fmt: skip


def test_too_many_values_are_refused(calc):
    """A value that no input is left for is told, with the names."""
    error = error_of(calc("lamp-power", "1", "2", "hot", "no", "5", "--json"))
    assert "no input left for '5'" in error["why"]


def test_a_missing_input_in_a_pipe_is_named(calc):
    """Without a terminal nothing is asked: the error names the input and how to give it."""
    ran = calc("lamp-power", "12V")
    assert (ran.status, ran.out) == (2, "")
    assert "lamp-power needs current" in ran.err


def test_a_missing_input_as_json(calc):
    """Under --json nothing is ever asked."""
    assert error_of(calc("lamp-power", "--json"))["input"] == "voltage"


def line_with(text: str) -> int:
    """Give the line of the plugin that a text stands in."""
    return next(at for at, line in enumerate(PLUGIN.split("\n"), 1) if text in line)


FAULTS = {
    "division by zero": ("lamp-blind", "ZeroDivisionError", "voltage - voltage"),
    "misspelt answer": ("lamp-misspelt", "did you mean resistance?", '@calculator("lamp-misspelt"'),
    "no annotation": ("lamp-bare", "voltage has no annotation", '@calculator("lamp-bare"'),
}


@pytest.mark.parametrize(("name", "why", "where"), FAULTS.values(), ids=FAULTS)
def test_a_calculators_own_fault_is_told_once_with_its_place(name, why, where, calc):
    """What is wrong in a calculator is no fault of the user's: plugin, file and line, once."""
    ran = calc(name, "5V", *(["2A"] if name == "lamp-misspelt" else []))
    assert (ran.status, ran.out, ran.err.count("the plugin lamps failed")) == (2, "", 1)
    assert why in ran.err
    assert f"lamps.py:{line_with(where)})" in ran.err


def test_a_plugin_that_is_off_is_named_where_it_would_have_been_needed(calc, book, fixbook):
    """A changed plugin is off, and whoever asks for what may be its own is told so and what to do."""
    file = book.folder / "plugins" / "lamps.py"
    file.write_text(PLUGIN + "# changed\n", encoding="utf-8")
    changed = "plugins/lamps.py is off because it changed since it was trusted: fixbook book trust"
    for ran in (calc("lamp-power", "12V", "2A"), fixbook("lamps")):
        assert (ran.status, changed in ran.err) == (2, True)
    for ran in (calc(), fixbook("--help")):
        assert (ran.status, changed in " ".join(ran.out.split())) == (0, True)


def test_a_plugin_nobody_trusted_is_named_as_well(calc, fixbook):
    """A plugin that was never on is off for another reason."""
    fixbook("book", "trust", "--none")
    assert "plugins/lamps.py is off until it is trusted" in calc("lamp-power", "12V", "2A").err


IN_ORDER = {
    "swapped": (("stored-energy", "400V", "10000u"), "capacitance",
                "in order: capacitance voltage; or name them: voltage=400V capacitance=10000u"),
    "one left out": (("led-resistor", "12V", "20mA"), "forward",
                     "in order: supply forward count current; or name them: supply=12V "),
    "shifted": (("reservoir-ripple", "4700u", "2A", "50Hz"), "capacitance",
                "mains ...; or name them: capacitance=4700u load=2A mains=50Hz"),
    "one alone": (("stored-energy", "400V"), "capacitance",
                  "in order: capacitance voltage; or name them: voltage=400V"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "name", "order"), IN_ORDER.values(), ids=IN_ORDER)
def test_values_in_the_wrong_order_are_told_the_order_and_their_names(words, name, order, fixbook):
    """The input is named, then the order of the inputs, and the same values by name."""
    ran = fixbook("calc", *words)
    assert (ran.status, ran.err.startswith(f"fixbook: {name}: ")) == (2, True)
    assert order in ran.err


def test_a_value_by_name_is_told_no_order(fixbook):
    """Whoever names an input knows which one it is."""
    ran = fixbook("calc", "divider", "lower=")
    assert ran.err == "fixbook: lower: nothing was typed; a value is wanted here\n"


def test_a_choice_is_its_whole_name(fixbook):
    """A name begun is refused with the choices: E9 could be any of them, and is none."""
    ran = fixbook("calc", "preferred-value", "4831", "E9")
    assert (ran.status, ran.out) == (2, "")
    assert "did you mean E96" in ran.err
    assert "it is one of E3, E6, E12, E24, E48, E96, E192" in ran.err


def test_the_usage_line_has_every_choice(fixbook):
    """What may be typed is shown whole."""
    out = fixbook("calc", "preferred-value", "--help").out
    assert "[series=E3|E6|E12|E24|E48|E96|E192]" in out


def test_an_option_that_there_is_not_is_told_what_lists_the_calculators(fixbook):
    """`calc --list` is told what lists them, and nothing of searching."""
    err = fixbook("calc", "--list").err
    assert err == "fixbook: there is no option --list; 'fixbook calc' alone lists the calculators\n"


def test_inputs_from_a_file(calc, isolation):
    """`--from FILE` reads an object: texts, numbers, truth values."""
    path = isolation / "inputs.json"
    path.write_text('{"voltage": "12 V", "current": 2, "dimmed": true}', encoding="utf-8")
    data = json.loads(calc("lamp-power", "--from", "inputs.json", "--json").out)
    assert (data["answers"]["power"]["value"], data["inputs"]["dimmed"]["value"]) == (24.0, True)


def test_inputs_from_the_standard_input(calc, monkeypatch):
    """`--from -` reads the object from a pipe."""
    monkeypatch.setattr("sys.stdin", io.StringIO('{"voltage": 12, "current": "2A"}'))
    data = json.loads(calc("lamp-power", "--from", "-", "--json").out)
    assert data["answers"]["power"]["value"] == 24.0


def test_several_values_from_a_file(calc, isolation):
    """A list gives several values of an input."""
    text = json.dumps({"runs": ["time=2 current=3", "time=1 current=1"]})
    (isolation / "runs.json").write_text(text, encoding="utf-8")
    data = json.loads(calc("lamp-charge", "--from", "runs.json", "--json").out)
    assert data["answers"]["charge"]["value"] == 7.0


BAD_JSON = {
    "no JSON": "voltage: 12",
    "a list": "[1, 2]",
    "a number": "3",
    "empty": "",
    "deep": "[" * 100_000,
    "unknown input": '{"watts": 3}',
    "twice": '{"voltage": 12, "volt": 13, "current": 1}',
    "null": '{"voltage": null, "current": 1}',
    "an object": '{"voltage": {"a": 1}, "current": 1}',
    "not UTF-8": b"\xff\xfe",
}


@pytest.mark.parametrize("text", BAD_JSON.values(), ids=BAD_JSON)
def test_a_file_that_cannot_be_used_is_refused_in_words(text, calc, isolation):
    """A wrong file is an error about the file or the input, never a fault of the program."""
    data = text if isinstance(text, bytes) else text.encode()
    (isolation / "bad.json").write_bytes(data)
    error = error_of(calc("lamp-power", "--from", "bad.json", "--json"))
    assert error["input"] in ("--from", "watts", "voltage")


def test_a_file_that_is_not_there_is_named(calc):
    """A missing file of inputs is told by its name."""
    assert "nowhere.json cannot be read" in calc("lamp-power", "--from", "nowhere.json").err


def test_records_of_a_file_become_an_input(calc, isolation):
    """An input of records takes a file of `name=value` lines; # begins a remark."""
    (isolation / "run.txt").write_text("# first run\ntime=2\n\ncurrent=3\n", encoding="utf-8")
    data = json.loads(calc("lamp-charge", "runs=run.txt", "runs=time=1 current=1", "--json").out)
    assert data["answers"]["charge"]["value"] == 7.0


@pytest.mark.parametrize("typed", ["run.txt", "x" * 5000, "time=2", "time=2 watts=3", "\x00"])
def test_a_record_that_cannot_be_read_names_its_input(typed, calc):
    """A missing file, a missing field and an unknown field are told under the input's name."""
    assert error_of(calc("lamp-charge", f"runs={typed}", "--json"))["input"] == "runs"


def test_a_folder_is_no_file_of_records(calc, isolation):
    """Naming a folder is refused in words."""
    (isolation / "runs").mkdir()
    assert error_of(calc("lamp-charge", "runs=runs", "--json"))["input"] == "runs"


def test_a_negative_value_needs_no_mark(calc):
    """A minus before a digit is part of the value."""
    assert error_of(calc("lamp-power", "-12V", "2A", "--json"))["read"] == "-12V"


def test_the_bundled_example_of_the_help_works(fixbook):
    """The calculator that the help names runs as shown, on the starter book alone."""
    ran = fixbook(
        "calc", "esr-limit", "capacitance=470u", "rated_voltage=25", "measured=0.35", "--json"
    )
    assert (ran.status, json.loads(ran.out)["calculator"]) == (0, "esr-limit")
