"""Loading plugins: each bad one is named with its place and left out; the rest goes on."""

from __future__ import annotations

import pytest

from fixbook.hooks.loader import Candidate, failure, installed
from fixbook.hooks.registry import Registry

MARKED = "from fixbook.api import hook\n\n@hook\n"
BROKEN = {
    "imports what is not there": ("import no_such_drawer\n", "no_such_drawer", 1),
    "raises while imported": ("x = 1\n\nraise RuntimeError('no bench')\n", "no bench", 3),
    "divides by zero in a helper": ("def f():\n    return 1 / 0\n\nf()\n", "ZeroDivisionError", 2),
    "syntax error": ("x = 1\ndef f(:\n    pass\n", "SyntaxError", 2),
    "ends the program": ("import sys\nsys.exit(3)\n", "tried to end the program", 2),
    "misspelt hook": (
        f"{MARKED}def fixbook_calculater():\n    return []\n",
        "fixbook_calculater is no hook; did you mean fixbook_calculators?",
        3,
    ),
    "hook of no resemblance": (f"{MARKED}def fixbook_zzz():\n    return []\n", "known: ", 3),
    "unmarked hook": (
        "\ndef fixbook_words():\n    return None\n",
        "fixbook_words is not marked: put @hook above it",
        2,
    ),
    "hook with a wrong argument": (
        f"{MARKED}def fixbook_summary(bench, entries):\n    return ''\n",
        "fixbook_summary takes bench, entry, not entries",
        3,
    ),
    "argument where there is none": (
        f"{MARKED}def fixbook_words(bench):\n    return None\n",
        "fixbook_words takes no arguments, not bench",
        3,
    ),
    "calculator without help": (
        "from fixbook.api import calculator\n\n@calculator('gain')\ndef gain():\n    return 1\n",
        "needs a docstring",
        3,
    ),
}


@pytest.fixture
def healthy(fake_plugin):
    """Give a plugin that nothing is wrong with."""
    return fake_plugin("healthy", fixbook_calculators=lambda: [])  # noqa: PIE807


@pytest.mark.parametrize(("text", "why", "line"), BROKEN.values(), ids=BROKEN)
def test_a_bad_plugin_is_named_with_file_and_line(text, why, line, plugin_text, healthy, tmp_path):
    """A plugin that cannot be loaded is named with its reason and the place in its file."""
    bad = plugin_text(text)
    registry = Registry([bad, healthy])
    registry.names()
    (error,) = registry.errors
    assert (error.plugin, error.where) == ("drawers", f"{tmp_path / bad.module}.py:{line}")
    assert why in error.why


@pytest.mark.parametrize(("text", "why", "line"), BROKEN.values(), ids=BROKEN)
def test_a_bad_plugin_leaves_the_others_on(text, why, line, plugin_text, healthy):
    """What is wrong with one plugin does not keep the next from being loaded."""
    assert Registry([plugin_text(text), healthy]).names() == ["healthy"]


def test_a_plugin_whose_package_is_gone_is_named(healthy):
    """An entry point that points at nothing is a failure of that plugin alone."""
    registry = Registry([Candidate("gone", "no_such_package.module"), healthy])
    assert (registry.names(), registry.errors[0].plugin) == (["healthy"], "gone")


def test_an_object_inside_a_module_can_be_the_plugin(plugin_text):
    """An entry point may name something inside its module."""
    made = plugin_text("class Shop:\n    pass\n")
    assert Registry([Candidate("shop", f"{made.module}:Shop")]).names() == ["shop"]


def test_of_two_plugins_with_one_name_the_first_stays_on(fake_plugin):
    """A later plugin with a taken name is refused and does not push the first one out."""
    first = fake_plugin("esr", fixbook_summary=lambda: "first")
    second = fake_plugin("esr", fixbook_summary=lambda: "second")
    registry = Registry([first, second])
    assert registry.values("fixbook_summary", str, bench=None, entry=None) == [("esr", "first")]
    assert "another plugin has this name" in registry.errors[0].why


def test_a_failure_is_told_as_it_happens(plugin_text):
    """Whoever listens hears of a failure once, when it happens."""
    told = []
    registry = Registry([plugin_text("1 / 0\n")], on_error=told.append)
    registry.names()
    registry.names()
    assert [error.plugin for error in told] == ["drawers"]


def test_nothing_is_imported_before_a_hook_is_called(plugin_text):
    """Making a registry costs no import: a command that needs no plugin pays for none."""
    registry = Registry([plugin_text("1 / 0\n")])
    assert registry.errors == []


def test_an_interrupt_while_loading_is_not_swallowed(plugin_text):
    """Ctrl-C during an import ends the program; it is no fault of the plugin."""
    with pytest.raises(KeyboardInterrupt):
        Registry([plugin_text("raise KeyboardInterrupt\n")]).names()


def test_the_place_is_in_the_plugin_and_not_in_what_it_calls(plugin_text, tmp_path):
    """A fault that surfaces deep in a library is placed where the plugin called it."""
    bad = plugin_text("import json\n\njson.loads('{')\n")
    registry = Registry([bad])
    registry.names()
    assert registry.errors[0].where == f"{tmp_path / bad.module}.py:3"


def test_a_fault_without_a_place_still_has_a_sentence():
    """An error that was never raised has no line; the sentence stands without one."""
    assert failure("drawers", ValueError("no\nbench")).why == (
        "the plugin drawers failed: ValueError: no bench; it is off for this run"
    )


def test_the_bundled_plugins_come_first():
    """Installed plugins are listed with the bundled ones in front, so that theirs hold."""
    bundled = [one.module.startswith("fixbook_plugins") for one in installed()]
    assert bundled == sorted(bundled, reverse=True)
    assert any(bundled)


def test_every_installed_plugin_loads():
    """The plugins of this installation have no fault of form."""
    registry = Registry(installed())
    registry.calculators()
    assert registry.errors == []
