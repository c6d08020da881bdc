"""Front matter to a typed entry, and what is said of a wrong one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.entry import Entry, Opening, Part, Target, Window
from fixbook.core.problems import Problem
from fixbook.core.quantity import OHMS, VOLTS
from fixbook.core.raw import Fields, Items, Raw, Text
from fixbook.core.schema import id_fault, read_entry
from fixbook.core.vocabulary import Hazard, Sign, Unit, Vocabulary
from fixbook.store.document import compose

WORDS = Vocabulary(
    units={"test-amp": Unit("test-amp", "test amplifier")},
    signs={
        "low-drone": Sign("low-drone", "Does it drone?", {"seen": 0.1, "not-seen": 0.9}, 1.0),
        "tone": Sign("tone", "Which tone?", {"mains": 0.2, "twice": 0.2, "none": 0.6}, 1.0),
    },
    hazards={
        "mains": Hazard("mains", "a", "b"),
        "stored-charge": Hazard("stored-charge", "a", "b"),
    },
)

LEAST = "id: relay-worn\nkind: fault\ntitle: One side drops out\nunit: test-amp\n"

WHOLE = """\
id: relay-worn
kind: fault
title: |
  One side
  drops out
unit: test-amp
section: output
models: [Model 1, rev B]
share: rare
signs:
  low-drone: usually
  tone: {twice: always, mains: rarely}
hazards: [mains, stored-charge]
skill: board-repair
minutes: 040
tools: [multimeter]
supplies: [solder]
targets:
  - name: contact resistance
    at: across the closed contact
    reads: ohms
    window: 0 .. 100 mohm
    step: 20 .. 40 ohm
    for: [rev B]
    note: typical
  - name: rail
    at: C1
    reads: dc
    windows:
      - {window: 30..36 V, says: service data}
      - {window: .. 35 V, says: practice}
parts:
  - at: RL1
    is: relay
    value: 24 V coil
    count: 2
    instead: [a bigger one]
    volts: 24 V
    temperature: 105 degC
    esr: 0.1 ohm
    ripple: 1 A
    body: 10 x 20 mm
opening:
  - do: take off the cover
    fasteners: 6 screws
  - do: swing the board out
also: [fuse-open]
see: [capacitor-discharge]
lay: [everything goes dark]
sources: [IEC 60127]
aliases: [relay-dirty]
state: withdrawn
replaced-by: relay-tired
revised: 2026-11-25
"""


def _read(yaml: str, body: str = "") -> tuple[Entry | None, list[Problem]]:
    front, faults = compose(yaml, "relay-worn.md", first_line=2)
    assert front is not None and not faults
    return read_entry(front, body, WORDS, file="relay-worn.md", body_line=9)


def _entry(yaml: str) -> Entry:
    entry, _ = _read(yaml)
    assert entry is not None
    return entry


def test_every_field_is_typed() -> None:
    """A whole write-up is read field by field, each as its own type."""
    contact = Target(
        "contact resistance", "across the closed contact", "ohms", OHMS,
        (Window(0.0, 0.1, "0 .. 100 mohm"),), ("rev B",), "typical",
        Window(20.0, 40.0, "20 .. 40 ohm"),
    )  # fmt: skip
    stated = (
        Window(30.0, 36.0, "30..36 V", "service data"),
        Window(None, 35.0, ".. 35 V", "practice"),
    )
    assert _read(WHOLE, "body\n") == (
        Entry(
            id="relay-worn",
            kind="fault",
            title="One side drops out",
            unit="test-amp",
            section="output",
            models=("Model 1", "rev B"),
            share="rare",
            signs={"low-drone": {"seen": "usually"}, "tone": {"twice": "always", "mains": "rarely"}},
            hazards=("mains", "stored-charge"),
            skill="board-repair",
            minutes=40,
            tools=("multimeter",),
            supplies=("solder",),
            targets=(contact, Target("rail", "C1", "dc", VOLTS, stated)),
            parts=(
                Part(
                    "RL1", "relay", "24 V coil", 2, ("a bigger one",), "24 V", "105 degC",
                    "0.1 ohm", "1 A", "10 x 20 mm",
                ),
            ),
            opening=(
                Opening("take off the cover", "6 screws"),
                Opening("swing the board out"),
            ),
            also=("fuse-open",),
            see=("capacitor-discharge",),
            lay=("everything goes dark",),
            sources=("IEC 60127",),
            aliases=("relay-dirty",),
            state="withdrawn",
            replaced_by="relay-tired",
            revised="2026-11-25",
            body="body\n",
            body_line=9,
        ),
        [],
    )  # fmt: skip


def test_four_fields_are_enough() -> None:
    """What is left out has the empty value of its type."""
    plain = Entry("relay-worn", "fault", "One side drops out", "test-amp", body_line=9)
    assert _read(LEAST) == (plain, [])


def test_empty_fields_are_as_good_as_left_out() -> None:
    """A template's unfilled fields are no faults."""
    names = ["section", "models", "share", "signs", "hazards", "minutes", "targets", "parts"]
    names += ["opening", "see", "aliases", "state", "replaced-by", "revised"]
    empty = "".join(f"{name}:\n" for name in names)
    assert _read(LEAST + empty) == _read(LEAST)


@pytest.mark.parametrize("field", ["id", "kind", "title", "unit"])
@pytest.mark.parametrize("value", [None, "", "''", "'  '", "[a]"])
def test_a_write_up_that_cannot_be_used_says_why(field: str, value: str | None) -> None:
    """No file ever vanishes without a message that names the field."""
    lines = [line for line in LEAST.splitlines() if not line.startswith(field)]
    lines += [] if value is None else [f"{field}: {value}"]
    entry, problems = _read("\n".join(lines))
    assert entry is None
    assert [one.problem.split()[0] for one in problems] == [field]


@pytest.mark.parametrize(
    ("word", "good"),
    [
        ("amp", True),
        ("amp-2-dc", True),
        ("a" * 60, True),
        ("ab", False),
        ("a" * 61, False),
        ("2amp", False),
        ("-amp", False),
        ("Amp", False),
        ("amp dc", False),
        ("amp_dc", False),
        ("../amp", False),
        ("amp\n", False),
        ("ämp", False),
        ("con", False),
        ("com1", False),
        ("lpt9", False),
        ("console", True),
    ],
)
def test_an_id_is_a_plain_word(word: str, good: bool) -> None:
    """An id makes a file name on every system: no device, no path, no capital."""
    assert (id_fault(word) == "") is good


@pytest.mark.parametrize(
    ("kind", "unit"), [("technique", "test-amp"), ("fault", "technique")], ids=["unit", "fault"]
)
def test_techniques_have_a_unit_of_their_own(kind: str, unit: str) -> None:
    """A technique stands under 'technique', and nothing else does."""
    _, problems = _read(f"id: relay-worn\nkind: {kind}\ntitle: T\nunit: {unit}\n")
    assert [(one.line, one.rule) for one in problems] == [(5, "technique-unit")]


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        ("share: often", "6:8: share: 'often' is no share that is known; one of common, occasional, rare"),
        ("minutes: soon", "6:10: minutes is 'soon'; expected a whole number from 0 to 10000"),
        ("state: writen", "6:8: state: 'writen' is no state that is known; did you mean written?"),
        ("revised: 25.11.2026", "6:10: revised: '25.11.2026' is no date; write year-month-day, as in 2026-11-25"),
        ("revised: 2026-02-30", "6:10: revised: '2026-02-30' is no date; write year-month-day, as in 2026-11-25"),
        ("tools: multimeter", "6:8: tools is 'multimeter'; expected a list, as in [multimeter]"),
        ("hazard: [mains]", "6:1: 'hazard' is no field that is known; did you mean hazards?"),
        ("signs: [low-drone]", "6:8: signs is a list; expected a mapping of names to values"),
        ("signs: {low-dron: always}", "6:9: signs: 'low-dron' is no sign that is known; did you mean low-drone?"),
        ("signs: {low-drone: often}", "6:20: signs.low-drone: 'often' is no how-often word that is known; did you mean usually?"),
        ("signs: {low-drone: [always]}", "6:20: signs.low-drone is a list; expected one of always, usually, sometimes, rarely, never"),
        ("signs: {tone: always}", "6:15: signs.tone is 'always', but the sign has answers of its own; write {mains: usually}, of mains, twice, none"),
        ("signs: {tone: {thrice: always}}", "6:16: signs.tone: 'thrice' is no answer that is known; did you mean twice?"),
        ("hazards: [manis]", "6:11: hazards: 'manis' is no hazard that is known; did you mean mains?"),
        ("hazards: mains", "6:10: hazards is 'mains'; expected a list, as in [mains]"),
        ("hazards: [mains, [laser]]", "6:18: hazards holds a list; each item of this list is a text"),
        ("targets: [{at: C1, reads: dc}]", "6:11: targets[1].name is missing; add name: with its value"),
        ("targets: [{name: rail, at: C1, reads: amp}]", "6:39: targets[1].reads: 'amp' is no reading that is known; did you mean dc-amps or ac-amps?"),
        ("parts: [{is: relay}]", "6:9: parts[1].at is missing; add at: with its value"),
        ("parts: [{at: C1, is: relay, count: 0}]", "6:36: parts[1].count is '0'; expected a whole number from 1 to 1000"),
        ("opening: [{fasteners: 6}]", "6:11: opening[1].do is missing; add do: with its value"),
        ("opening: [take off the cover]", "6:11: opening[1] is 'take off the cover'; write a mapping of fields, as in '- name: …'"),
    ],
    ids=[
        "share", "minutes", "state", "date", "no such day", "list", "unknown field", "signs",
        "unknown sign", "how often", "sign list", "own answers", "unknown answer",
        "unknown hazard", "hazard alone", "hazard list", "target", "reads", "part", "count",
        "opening", "opening text",
    ],
)  # fmt: skip
def test_a_wrong_field_is_reported_with_its_place(rows: str, fault: str) -> None:
    """One fault is one message: place, what was found, what was expected; the entry stays."""
    entry, problems = _read(f"{LEAST}{rows}\n")
    assert entry is not None
    assert [str(one) for one in problems] == [f"relay-worn.md:{fault}"]


@pytest.mark.parametrize(
    ("hazards", "kept"),
    [
        ("[mains, manis]", ("mains", "manis")),
        ("mains", ("mains",)),
        ("[mains, [laser], mains]", ("mains",)),
    ],
    ids=["misspelt", "no list", "beside a list"],
)
def test_a_caution_never_vanishes(hazards: str, kept: tuple[str, ...]) -> None:
    """A hazard that is wrongly written is reported, and shown all the same."""
    assert _entry(f"{LEAST}hazards: {hazards}\n").hazards == kept


@pytest.mark.parametrize(
    "window",
    ["100 .. 0 ohm", "5 V .. 6 V", "low", "1 .. 2 .. 3", "x" * 200],
    ids=["swapped", "other unit", "a word", "three ends", "too long"],
)
def test_a_window_that_cannot_be_read_is_left_out(window: str) -> None:
    """A target keeps its place on the sheet, without a window that nobody stated."""
    target = f"targets: [{{name: rail, at: C1, reads: ohms, window: '{window}'}}]\n"
    entry, problems = _read(LEAST + target)
    assert entry is not None and entry.targets[0].windows == ()
    assert [(one.line, one.column, one.rule) for one in problems] == [(6, 53, "window")]


def test_a_wrong_reading_does_not_add_faults_about_its_window() -> None:
    """Where what is read is unknown, the window is not judged."""
    target = "targets: [{name: rail, at: C1, reads: volt, window: 1 .. 2 V, windows: []}]\n"
    _, problems = _read(LEAST + target)
    assert [one.rule for one in problems] == ["unknown-reading"]


def test_a_wrong_id_among_good_ones_is_found_at_its_place() -> None:
    """In a list of links the wrong one alone is left out."""
    entry, problems = _read(f"{LEAST}see:\n  - fuse-open\n  - Fuse Open\n  - lamp-limiter\n")
    assert entry is not None and entry.see == ("fuse-open", "lamp-limiter")
    assert [(one.line, one.column, one.rule) for one in problems] == [(8, 5, "id")]


def test_all_faults_come_in_the_order_of_the_file() -> None:
    """Every fault of a file is collected, first line first."""
    rows = "minutes: x\nrevised: x\nhazards: [x]\nbogus: x\nshare: x\n"
    _, problems = _read(LEAST + rows)
    assert [one.line for one in problems] == [6, 7, 8, 9, 10]


def test_how_often_is_asked_by_sign_and_answer() -> None:
    """An entry says how often it shows an answer, and nothing where it does not say."""
    entry = _entry(WHOLE)
    assert [entry.often("low-drone", "seen"), entry.often("tone", "none")] == ["usually", ""]


FIELDS = ["id", "kind", "title", "unit", "models", "share", "signs", "hazards", "minutes", "state"]
FIELDS += ["targets", "parts", "opening", "see", "revised", "replaced-by", "bogus", ""]
INNER = ["name", "at", "reads", "window", "windows", "says", "step", "for", "is", "count", "do"]
INNER += ["low-drone", "tone", "seen", "mains"]
TEXTS = ["", "relay-worn", "fault", "technique", "test-amp", "always", "ohms", "dc", "0 .. 5 V"]
TEXTS += ["2026-11-25", "9" * 50, "1e999", "\0", "-1", "mains", "tone", "\U0001f50c", "nan .. inf"]

_texts = st.sampled_from(TEXTS).map(lambda text: Text(text, 1, 1)) | st.builds(
    Text, st.text(max_size=8), st.just(1), st.just(1), st.booleans()
)


def _fields(fields: dict[str, Raw]) -> Fields:
    return Fields(fields, {name: Text(name, 1, 1) for name in fields}, 1, 1)


def _deeper(inner: st.SearchStrategy[Raw]) -> st.SearchStrategy[Raw]:
    lists = st.lists(inner, max_size=3).map(lambda items: Items(tuple(items), 1, 1))
    return lists | st.dictionaries(st.sampled_from(INNER), inner, max_size=5).map(_fields)


_values = st.recursive(_texts, _deeper, max_leaves=8)


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), _values, max_size=8).map(_fields))
def test_any_front_matter_is_read_or_reported(front: Fields) -> None:
    """Whatever the fields hold, there is an entry, or at least one message that says why not."""
    entry, problems = read_entry(front, "", WORDS, file="relay-worn.md")
    assert isinstance(entry, Entry) or problems
    assert problems == sorted(problems)
