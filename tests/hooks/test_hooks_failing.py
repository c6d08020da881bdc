"""A book's plugin that fails while a command runs: named with its line, and the command goes on."""

from __future__ import annotations

import json

import pytest

HEAD = "from fixbook.api import *\n\n"
FAILS = "raise RuntimeError('the drawer is stuck')"


def gives(hook: str, arguments: str, answer: str) -> str:
    """Write a plugin whose hook gives something; `stuck` in it is a function that fails."""
    stuck = f"def stuck(*_):\n    {FAILS}\n\n"
    return f"{HEAD}{stuck}@hook\ndef {hook}({arguments}):\n    return {answer}\n"


INSIDE = {
    "proof rule": (
        gives("fixbook_proof_rules", "", "[ProofRule('tongs', stuck)]"),
        ("proof",),
        "nothing opens the link",
        1,
    ),
    "link scheme": (
        gives("fixbook_link_schemes", "", "[LinkScheme('drawer', stuck)]"),
        ("sheet", "amp-one"),
        "Unplug it",
        0,
    ),
    "stamps of documents": (
        gives("fixbook_index_documents", "", "[ExtraDocuments('memo', stuck, stuck)]"),
        ("find", "drone"),
        "amp-one",
        0,
    ),
    "a document": (
        gives("fixbook_index_documents", "", "[ExtraDocuments('memo', lambda: {'1': 'a'}, stuck)]"),
        ("find", "drone"),
        "amp-one",
        0,
    ),
    "index fields": (
        gives("fixbook_index_fields", "", "stuck()"),
        ("find", "drone"),
        "amp-one",
        0,
    ),
    "summary": (gives("fixbook_summary", "", "stuck()"), ("find", "drone"), "amp-one", 0),
    "words": (gives("fixbook_words", "", "stuck()"), ("find", "drone"), "amp-one", 0),
    "sheet blocks": (
        gives("fixbook_sheet_blocks", "", "stuck()"),
        ("sheet", "amp-one"),
        "Unplug it",
        0,
    ),
    "calculators": (gives("fixbook_calculators", "", "stuck()"), ("calc",), "fixbook calc NAME", 0),
    "commands": (gives("fixbook_commands", "", "stuck()"), ("--help",), "usage: fixbook", 0),
    "arguments of a command": (
        gives("fixbook_commands", "", "[Command('stock', 'drawers', stuck, stuck)]"),
        ("stock",),
        "",
        2,
    ),
    "work of a command": (
        gives("fixbook_commands", "", "[Command('stock', 'drawers', lambda p: None, stuck)]"),
        ("stock",),
        "",
        2,
    ),
}
WRONG = {
    "index fields": ("fixbook_index_fields", "'a text'", ("find", "drone"), "it gave str"),
    "summary": ("fixbook_summary", "7", ("find", "drone"), "it gave int"),
    "words": ("fixbook_words", "['volume']", ("find", "drone"), "it gave a list of str"),
    "sheet blocks": ("fixbook_sheet_blocks", "'a text'", ("sheet", "amp-one"), "it gave str"),
    "commands": ("fixbook_commands", "[7]", ("--help",), "a list of int"),
    "exit status": (
        "fixbook_commands",
        "[Command('stock', 'drawers', lambda p: None, lambda b, g: 'done')]",
        ("stock",),
        "gave str, not an exit status",
    ),
    "link": (
        "fixbook_link_schemes",
        "[LinkScheme('drawer', lambda b, l: 'text')]",
        ("sheet", "amp-one"),
        "it gave str for a link",
    ),
    "finding": (
        "fixbook_proof_rules",
        "[ProofRule('tongs', lambda b, e: ['text'])]",
        ("proof",),
        "no Finding",
    ),
}
BODY = "\n## Step by step\n\n1. Unplug it.\n2. Look in [the drawer](drawer:fuses).\n"


@pytest.fixture
def one(book):
    """Give a book with one write-up that links into a drawer."""
    book.add("amp-one", title="One side drops out", body=BODY)
    return book


@pytest.mark.parametrize(("text", "words", "seen", "status"), INSIDE.values(), ids=INSIDE)
def test_a_failing_plugin_is_named_with_its_line(text, words, seen, status, one, plugged, fixbook):
    """The error stream names the plugin, what it said, its file and the line that failed."""
    path = plugged(text)
    said = fixbook(*words).err
    assert "the plugin drawers failed" in said
    assert f"RuntimeError: the drawer is stuck ({path}:4)" in said


@pytest.mark.parametrize(("text", "words", "seen", "status"), INSIDE.values(), ids=INSIDE)
def test_the_rest_of_the_command_goes_on(text, words, seen, status, one, plugged, fixbook):
    """The command gives what it gives without the plugin, and no fault of the program."""
    plugged(text)
    ran = fixbook(*words)
    assert (ran.status, seen in ran.out) == (status, True)
    assert "fault of the program" not in ran.err


@pytest.mark.parametrize(("hook", "answer", "words", "why"), WRONG.values(), ids=WRONG)
def test_a_wrong_answer_is_named_with_its_place(hook, answer, words, why, one, plugged, fixbook):
    """A plugin that gives the wrong thing is named with what it gave and where."""
    path = plugged(gives(hook, "", answer))
    said = fixbook(*words).err
    assert (why in said, f"({path}:" in said) == (True, True)


def test_a_calculator_that_fails_is_no_fault_of_the_program(one, plugged, fixbook):
    """A fault inside a plugin's calculator names the plugin, file and line."""
    text = (
        "@calculator('gain')\ndef gain(voltage: Volts) -> Answer:\n    '''What is it?'''\n"
        "    return {}['no key']\n\n@hook\ndef fixbook_calculators():\n"
        "    return calculators_in(globals())\n"
    )
    path = plugged(HEAD + text)
    ran = fixbook("calc", "gain", "5V")
    assert (ran.status, f"the plugin drawers failed in gain: KeyError: 'no key' ({path}:6)") == (
        2,
        ran.err.split(": ", 1)[1].split(";")[0],
    )


def test_a_failing_plugin_is_told_once(one, plugged, fixbook):
    """However often its hook would have been called, a plugin's failure is one line."""
    for name in ("amp-two", "amp-three"):
        one.add(name)
    plugged(gives("fixbook_index_fields", "", "stuck()"))
    assert fixbook("find", "drone").err.count("the plugin drawers failed") == 1


def test_a_failing_plugin_is_a_row_of_proof(one, plugged, fixbook):
    """`proof --json` names a failing plugin by its file and line, like any other fault."""
    path = plugged(gives("fixbook_proof_rules", "", "stuck()"))
    rows = json.loads(fixbook("proof", "--json").out)["problems"]
    assert [(row["file"], row["line"]) for row in rows if row["rule"] == "plugin"] == [
        (str(path), 4)
    ]


def test_json_stays_json_when_a_plugin_fails(one, plugged, fixbook):
    """What a plugin breaks is told on the error stream; the answer can still be parsed."""
    plugged(gives("fixbook_sheet_blocks", "", "stuck()"))
    assert json.loads(fixbook("sheet", "amp-one", "--json").out)["id"] == "amp-one"


def test_a_plugin_that_refuses_its_link_says_why_on_the_sheet(one, plugged, fixbook):
    """A link that points at nothing is an answer: the plugin's sentence stands in its row."""
    text = gives("fixbook_link_schemes", "", "[LinkScheme('drawer', nothing)]")
    text += "\ndef nothing(bench, link):\n    raise CalculationError('no drawer fuses here')\n"
    plugged(text)
    ran = fixbook("sheet", "amp-one")
    assert ("no drawer fuses here" in " ".join(ran.out.split()), ran.err) == (True, "")


def test_a_name_of_a_bundled_plugin_does_not_push_it_out(one, plugged, fixbook):
    """A book's plugin named like a bundled one is refused; the bundled calculators stay."""
    before = fixbook("calc").out
    plugged(HEAD + "x = 1\n", name="esr")
    ran = fixbook("calc")
    assert (ran.out, "another plugin has this name already" in ran.err) == (before, True)


def test_a_plugin_cannot_take_the_name_of_a_bundled_calculator(one, plugged, fixbook):
    """A clash with a bundled calculator switches the book's plugin off, whole."""
    text = (
        "@calculator('divider')\ndef divider(voltage: Volts) -> Answer:\n    '''Mine?'''\n"
        "    return Answer([])\n\n@hook\ndef fixbook_calculators():\n"
        "    return calculators_in(globals())\n"
    )
    path = plugged(HEAD + text)
    said = fixbook("calc").err
    assert "its calculator divider has the name of one of" in said
    assert f"({path}:3)" in said


def test_a_command_clash_names_file_and_line(one, plugged, fixbook):
    """A plugin whose command is named like one of the program's own is off, with its place."""
    path = plugged(gives("fixbook_commands", "", "[Command('find', 'mine', stuck, stuck)]"))
    ran = fixbook("stock")
    assert f"its command find has the name of fixbook's own ({path}:3)" in ran.err
