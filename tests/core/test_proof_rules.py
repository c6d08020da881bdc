"""Each rule of proofing finds what it is for, at its place, and is silent where all is well."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixbook.core.page import Page
from fixbook.core.proof_page import page_faults
from fixbook.core.schema import read_entry
from fixbook.core.vocabulary import Hazard, Sign, Unit, Vocabulary
from fixbook.store.document import read_document

HAZARDS = ("mains", "stored-charge", "high-voltage", "laser", "lithium")
WORDS = Vocabulary(
    units={"amp": Unit("amp", "amplifier")},
    signs={"hum": Sign("hum", "Does it hum?", {"seen": 0.1, "not-seen": 0.9}, 1.0)},
    hazards={one: Hazard(one, one, one) for one in HAZARDS},
)
FRONT = {
    "id": "amp-hum",
    "kind": "fault",
    "title": "It hums",
    "unit": "amp",
    "signs": "{hum: always}",
}
TARGET = "\n  - name: rail\n    at: across C4, idle\n    reads: dc\n    window: 30 .. 33 V"
BODY = "\n## Step by step\n\n1. Unplug it.\n2. Lift one lead.\n"


def faults(body: str = BODY, **fields: str):
    """Proof a small write-up; `hazards="[mains]"` sets a field."""
    front = {**FRONT, **{name.replace("_", "-"): text for name, text in fields.items()}}
    order = ["id", "kind", "title", "unit", "signs", "hazards", "targets", "parts", "opening",
             "state", "replaced-by"]  # fmt: skip
    lines = "".join(f"{name}: {front[name]}\n" for name in order if name in front)
    document = read_document(f"---\n{lines}---\n{body}", "amp-hum.md")
    entry, problems = read_entry(
        document.front, document.body, WORDS, file="amp-hum.md", body_line=document.body_line
    )
    assert not problems, problems
    page = Page("amp-hum.md", entry, document.front, document.front_text)
    return [(one.rule, one.line, one.column) for one in page_faults(page, WORDS)]


def test_a_sound_write_up_has_no_faults():
    """The small write-up of these tests breaks no rule."""
    assert faults(hazards="[mains]", targets=TARGET) == []


@pytest.mark.parametrize(
    "sentence",
    [
        "Read the mains voltage at the inlet first.",
        "The flyback ages.",
        "Look at the final anode.",
        "The laser grows weak.",
        "Swollen lithium cells push the lid.",
        "Wait until the reservoir capacitors are empty.",
    ],
)
def test_a_hazard_that_the_text_implies_must_be_declared(sentence):
    """The word is found, and its place is the word's."""
    body = f"{BODY}\n{sentence}\n"
    found = faults(body)
    assert [rule for rule, _, _ in found] == ["hazard-implied"]
    assert faults(body, hazards=f"[{', '.join(HAZARDS)}]") == []


@pytest.mark.parametrize(
    "sentence",
    [
        "There is no mains voltage in it.",
        "It runs without lithium cells.",
        "If it has a mains lead, leave it to someone qualified.",
        "A blaserly sound.",
    ],
)
def test_what_is_not_there_is_no_hazard(sentence):
    """A sentence that says that something is absent, or not to be worked on, implies nothing."""
    assert faults(f"{BODY}\n{sentence}\n") == []


def test_when_to_stop_implies_nothing():
    """What stands under a heading about stopping is not worked on."""
    assert faults(f"{BODY}\n## Stop when\n\nThe mains side is burnt.\n") == []


@pytest.mark.parametrize(
    ("value", "volts", "large"),
    [
        ("4700 uF", "35 V", True),
        ("47 uF", "400 V", True),
        ("10 uF", "16 V", False),
        ("470 uF", "25 V", False),
        ("as marked", "35 V", False),
    ],
)
def test_a_large_capacitor_is_stored_charge(value, volts, large):
    """A capacitor that can hurt when charged asks for the caution; a small one does not."""
    part = f"\n  - at: C4\n    is: aluminium electrolytic\n    value: {value}\n    volts: {volts}"
    assert bool(faults(parts=part)) == large


@pytest.mark.parametrize(
    ("at", "rule"),
    [
        ("somewhere, cold", "target-points"),
        ("across the relay coil", "target-conditions"),
        ("across the relay coil, energised", None),
        ("from pin 3 to ground", None),
    ],
)
def test_a_target_says_where_and_how(at, rule):
    """Without points, or without conditions, nobody reads it twice alike."""
    found = faults(targets=TARGET.replace("across C4, idle", at), hazards="[mains]")
    assert [one for one, _, _ in found] == ([rule] if rule else [])


def test_a_target_without_a_window_is_reported():
    """Nobody could say whether the reading is good."""
    text = TARGET.rpartition("\n")[0]
    assert [rule for rule, _, _ in faults(targets=text)] == ["target-window"]


@pytest.mark.parametrize(
    ("what", "field", "text"),
    [
        ("capacitor", "volts", "25 uF"),
        ("capacitor", "value", "4.7 kohm"),
        ("resistor", "value", "10 uF"),
        ("fuse", "value", "5 V"),
        ("capacitor", "temperature", "105 V"),
    ],
)
def test_a_value_of_another_kind_is_reported_at_its_field(what, field, text):
    """A capacitance in the place of a voltage is a slip of the pen."""
    part = f"\n  - at: X1\n    is: {what}\n    {field}: {text}"
    assert faults(parts=part) == [("unit-kind", 10, 5)]


@pytest.mark.parametrize(
    ("steps", "early"),
    [
        (("Take off the cover.", "Unplug it."), True),
        (("Desolder the part.", "Switch it off."), True),
        (("Take off the cover, then unplug it.",), True),
        (("Unplug it, take off the cover.", "Desolder the part."), False),
        (("Listen to it.", "Pull the plug.", "Remove the lid."), False),
        (("Listen to it.", "Turn the knob."), False),
    ],
)
def test_a_step_stands_after_its_caution(steps, early):
    """Hands go in after the unit is dead."""
    body = "\n## Step by step\n\n" + "".join(f"{n}. {one}\n" for n, one in enumerate(steps, 1))
    found = [rule for rule, _, _ in faults(body, hazards="[mains]")]
    assert found == (["step-before-caution"] if early else [])


def test_the_opening_comes_before_the_body():
    """A cover that comes off in `opening` before the plug is out is reported there."""
    opening = "\n  - do: take off the cover\n  - do: unplug it"
    assert faults(hazards="[mains]", opening=opening) == [("step-before-caution", 9, 5)]


def test_a_caution_about_an_earlier_step_comes_too_late():
    """Step 3 cannot say what to do before step 1."""
    body = "\n1. Unplug it.\n2. Lift one lead.\n3. Before step 2, discharge it.\n"
    assert [rule for rule, _, _ in faults(body)] == ["step-before-caution"]


@pytest.mark.parametrize("signs", ["{}", "", None])
def test_a_fault_without_signs_cannot_be_told(signs):
    """Whether the field is empty or left out."""
    front = dict(FRONT)
    fields = {} if signs is None else {"signs": signs}
    if signs is None:
        FRONT.pop("signs")
    try:
        assert [rule for rule, _, _ in faults(**fields)] == ["sign-untold"]
    finally:
        FRONT.update(front)


def test_a_replacement_needs_a_withdrawal():
    """replaced-by on a write-up that still stands is a contradiction."""
    assert [rule for rule, _, _ in faults(replaced_by="amp-new")] == ["withdrawn"]


@given(st.text(max_size=300))
def test_no_text_breaks_a_rule_of_the_rules(body):
    """Whatever a body holds, proofing answers."""
    faults("\n" + body.replace("\r", "\n"))


def test_a_long_hostile_line_is_looked_at_quickly():
    """A megabyte of near matches costs its length, not its square."""
    for line in ("mains " * 100_000, "not " * 200_000, "discharge the " * 70_000, "1. " * 300_000):
        faults(f"{BODY}\n{line}\n", hazards=f"[{', '.join(HAZARDS)}]")
