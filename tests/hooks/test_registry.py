"""Calling hooks: one plugin's failure is named, its plugin goes off, the others are called."""

from __future__ import annotations

import inspect
import io
from collections.abc import Mapping

import pytest

from fixbook.api import (
    OHMS,
    Answer,
    BackupFile,
    CalculationError,
    Calculator,
    Command,
    Counts,
    ExtraDocuments,
    FixbookError,
    IndexFields,
    JobFacts,
    JobSource,
    LinkScheme,
    ProofRule,
    ScreenPanel,
    TextBlock,
    UnknownEntryError,
    Value,
    Vocabulary,
    Volts,
    calculator,
)
from fixbook.hooks import specs
from fixbook.hooks.registry import Registry

HOOKS = [name for name in vars(specs) if name.startswith("fixbook_")]
LISTS = {
    "fixbook_calculators": Calculator,
    "fixbook_commands": Command,
    "fixbook_sheet_blocks": TextBlock,
    "fixbook_link_schemes": LinkScheme,
    "fixbook_proof_rules": ProofRule,
    "fixbook_index_documents": ExtraDocuments,
    "fixbook_job_sources": JobSource,
    "fixbook_backup": BackupFile,
    "fixbook_screen_panels": ScreenPanel,
}
SINGLE = {
    "fixbook_index_fields": IndexFields,
    "fixbook_summary": str,
    "fixbook_words": Vocabulary,
    "fixbook_evidence": Counts,
    "fixbook_job_facts": JobFacts,
    "fixbook_job_note": bool,
    "fixbook_seen_here": Mapping,
}


def arguments(hook: str) -> dict[str, object]:
    """Give something for each argument of a hook."""
    return dict.fromkeys(inspect.signature(getattr(specs, hook)).parameters, "unit")


def one_calculator(name: str) -> Calculator:
    """Make a calculator of a name."""

    @calculator(name)
    def gain(voltage: Volts) -> Answer:
        """What is the gain?"""
        return Answer([Value("gain", voltage, OHMS)])

    return gain.__fixbook_calculator__


def raises() -> None:
    """Fail as a plugin does."""
    raise RuntimeError("the drawer is stuck")


@pytest.mark.parametrize("hook", HOOKS)
def test_a_hook_that_raises_is_named_and_the_next_plugin_is_called(hook, fake_plugin):
    """Every hook: the failing plugin is named with hook, file and line; the other's answer counts."""
    bad = fake_plugin("bad", **{hook: raises})
    good = fake_plugin("good", **{hook: lambda: "answer"})
    registry = Registry([bad, good])
    assert registry.call(hook, **arguments(hook)) == [("good", "answer")]
    (error,) = registry.errors
    place = f"{__file__}:{raises.__code__.co_firstlineno + 2}"
    assert (error.plugin, error.hook, error.where) == ("bad", hook, place)


@pytest.mark.parametrize("hook", HOOKS)
def test_a_plugin_that_raised_is_off_for_the_run(hook, fake_plugin):
    """Every hook: a plugin that failed once is not asked again."""
    registry = Registry([fake_plugin("bad", **{hook: raises})])
    registry.call(hook, **arguments(hook))
    registry.call(hook, **arguments(hook))
    assert (registry.names(), len(registry.errors)) == ([], 1)


@pytest.mark.parametrize(
    ("hook", "name"), [(one, name) for one in HOOKS for name in arguments(one)]
)
def test_a_hook_gets_only_the_arguments_it_asks_for(hook, name, fake_plugin):
    """Every hook and argument: one that is named arrives though the others are left out."""
    got = []
    function = eval(f"lambda {name}: got.append({name})", {"got": got})
    Registry([fake_plugin(**{hook: function})]).call(hook, **arguments(hook))
    assert got == ["unit"]


@pytest.mark.parametrize("wrong", [None, 7, "text", [7], {"a": 1}], ids=repr)
@pytest.mark.parametrize("hook", LISTS)
def test_a_hook_that_gives_no_list_of_its_kind_is_switched_off(hook, wrong, fake_plugin):
    """A wrong answer is named with what was given, what was wanted, file and line."""

    def gives(**_: object) -> object:
        return wrong

    registry = Registry([fake_plugin("bad", **{hook: gives})])
    assert registry.gather(hook, LISTS[hook], **arguments(hook)) == []
    (error,) = registry.errors
    assert LISTS[hook].__name__ in error.why
    assert error.where == f"{__file__}:{gives.__code__.co_firstlineno}"


@pytest.mark.parametrize("hook", SINGLE)
def test_a_hook_that_gives_another_kind_of_value_is_switched_off(hook, fake_plugin):
    """A hook of one value that gives something else is named with its place."""
    registry = Registry([fake_plugin("bad", **{hook: lambda: 7})])
    assert registry.values(hook, SINGLE[hook], **arguments(hook)) == []
    assert (registry.names(), "it gave int" in registry.errors[0].why) == ([], True)
    assert registry.errors[0].where.startswith(__file__)


@pytest.mark.parametrize("hook", SINGLE)
def test_none_from_a_hook_of_one_value_adds_nothing(hook, fake_plugin):
    """None means that there is nothing to add, and is no fault."""
    registry = Registry([fake_plugin("quiet", **{hook: lambda: None})])
    assert registry.values(hook, SINGLE[hook], **arguments(hook)) == []
    assert registry.names() == ["quiet"]


def test_the_hooks_of_this_file_are_all_there_are():
    """No hook is left out of the lists above; `renamed` gives nothing back."""
    assert {*LISTS, *SINGLE, "fixbook_renamed"} == set(HOOKS)


@pytest.mark.parametrize(
    "error", [CalculationError, UnknownEntryError], ids=lambda one: one.__name__
)
def test_what_the_bench_refused_is_the_plugins_own_fault(error, fake_plugin):
    """A plugin that asks the bench for something wrong is off; the command goes on."""

    def asks(bench: object) -> object:
        raise error("no such thing")

    registry = Registry([fake_plugin("bad", fixbook_sheet_blocks=asks)])
    assert registry.call("fixbook_sheet_blocks", bench=None, entry=None) == []
    assert "no such thing" in registry.errors[0].why


def test_an_answer_to_the_user_passes_through(fake_plugin):
    """A plugin can stop a command on purpose with a sentence for the user."""

    def stops() -> object:
        raise FixbookError("the drawer is locked")

    with pytest.raises(FixbookError, match="the drawer is locked"):
        Registry([fake_plugin(fixbook_backup=stops)]).call("fixbook_backup", bench=None)


@pytest.mark.parametrize("error", [SystemExit(1), GeneratorExit()], ids=["exit", "generator"])
def test_a_hook_cannot_end_the_program(error, fake_plugin):
    """sys.exit inside a hook switches the plugin off, as any other failure does."""

    def ends() -> object:
        raise error

    registry = Registry([fake_plugin("bad", fixbook_words=ends)])
    assert (registry.call("fixbook_words"), registry.names()) == ([], [])


def test_an_interrupt_in_a_hook_is_not_swallowed(fake_plugin):
    """Ctrl-C during a hook ends the program."""

    def interrupts() -> object:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        Registry([fake_plugin(fixbook_words=interrupts)]).call("fixbook_words")


def test_of_two_calculators_with_one_name_the_first_holds(fake_plugin):
    """The later plugin is off with all its calculators; the clash is named with its place."""
    mine = [one_calculator("other"), one_calculator("gain"), one_calculator("loss")]
    first = fake_plugin("first", fixbook_calculators=lambda: [one_calculator("gain")])
    later = fake_plugin("later", fixbook_calculators=lambda: mine)
    registry = Registry([first, later])
    assert (list(registry.calculators()), registry.owner("gain")) == (["gain"], "first")
    (error,) = registry.errors
    assert "its calculator gain has the name of one of first" in error.why
    assert error.where.startswith(f"{__file__}:")


def test_a_plugin_with_several_clashes_is_named_once(fake_plugin):
    """One failure is told once, however many names clash."""
    both = [one_calculator("gain"), one_calculator("loss")]
    first = fake_plugin("first", fixbook_calculators=lambda: both)
    later = fake_plugin("later", fixbook_calculators=lambda: both)
    registry = Registry([first, later])
    registry.calculators()
    assert [error.plugin for error in registry.errors] == ["later"]


def test_a_calculator_of_a_plugin_that_clashed_has_no_owner(fake_plugin):
    """What went off with its plugin belongs to nobody."""
    first = fake_plugin("first", fixbook_calculators=lambda: [one_calculator("gain")])
    mine = [one_calculator("other"), one_calculator("gain")]
    registry = Registry([first, fake_plugin("later", fixbook_calculators=lambda: mine)])
    assert registry.owner("other") == ""


def test_an_unknown_calculator_is_told_with_close_matches(fake_plugin):
    """A misspelt calculator names the near ones."""
    registry = Registry([fake_plugin(fixbook_calculators=lambda: [one_calculator("gain")])])
    with pytest.raises(CalculationError, match="did you mean gain") as caught:
        registry.calculator("gian")
    assert caught.value.choices == ("gain",)


def test_of_two_commands_with_one_name_the_first_holds(fake_plugin):
    """A command clash switches the later plugin off, with all its commands, and names its place."""

    def stock(name: str) -> Command:
        return Command(name, "what is in the drawers", lambda parser: None, lambda b, g: 0)

    first = fake_plugin("first", fixbook_commands=lambda: [stock("stock")])
    later = fake_plugin("later", fixbook_commands=lambda: [stock("shelf"), stock("stock")])
    registry = Registry([first, later])
    assert {name: one[0] for name, one in registry.commands([]).items()} == {"stock": "first"}
    assert "its command stock has the name of one of first" in registry.errors[0].why
    assert registry.errors[0].where.startswith(f"{__file__}:")


def test_a_command_cannot_take_the_name_of_the_programs_own(fake_plugin):
    """A plugin that names a command `find` is off: the program's own stays what it is."""
    find = Command("find", "not the search", lambda parser: None, lambda b, g: 0)
    registry = Registry([fake_plugin("bad", fixbook_commands=lambda: [find])])
    assert (registry.commands(["find"]), registry.names()) == ({}, [])


def test_what_a_plugin_gave_to_do_is_not_done_once_it_is_off(fake_plugin):
    """A rule or link of a plugin that failed is not asked again."""
    registry = Registry([fake_plugin("bad")])
    registry.attempt("bad", "fixbook_proof_rules", raises)
    assert registry.attempt("bad", "fixbook_proof_rules", lambda: "asked") == []


def test_calls_can_be_traced(fake_plugin):
    """With tracing on, each call is told with its plugin and what it gave."""
    trace = io.StringIO()
    plugin = fake_plugin("drawers", fixbook_calculators=lambda: [one_calculator("gain")])
    Registry([plugin], trace=trace).calculators()
    assert trace.getvalue() == "hook fixbook_calculators in drawers: 1 values\n"
