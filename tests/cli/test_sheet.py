"""`fixbook sheet`: order, JSON, unknown ids, replaced and withdrawn entries, windows and checks."""

from __future__ import annotations

import json

import pytest

TARGET = {
    "name": "supply ripple",
    "at": "across C1, at idle",
    "reads": "peak-to-peak",
    "window": "0 .. 200 mV",
}
SEVERAL = {
    "name": "idle current",
    "at": "across R30",
    "reads": "dc",
    "windows": [
        {"window": "8 .. 12 mV", "says": "service data"},
        {"window": "10 .. 20 mV", "says": "the bench"},
    ],
}
FULL = {
    "title": "Hums with the volume at zero",
    "hazards": ["mains"],
    "signs": {"low-drone": "always"},
    "skill": "through-hole",
    "minutes": 40,
    "tools": ["multimeter"],
    "supplies": ["solder"],
    "targets": [TARGET, SEVERAL],
    "parts": [{"at": "C1", "is": "capacitor", "value": "4700uF", "count": 2, "volts": "35 V"}],
    "opening": [
        {"do": "take off the cover", "fasteners": "6 screws"},
        {"do": "swing the board out", "fasteners": "2 screws"},
    ],
    "see": ["amp-two"],
    "sources": ["a published handbook"],
}
BODY = "\n## Step by step\n\n1. Unplug it.\n2. Look at [the other](fault:amp-two).\n"


@pytest.fixture
def full(write, book):
    """Give a book with a write-up that fills every part of a sheet, and the one it refers to."""
    write("amp-one", body=BODY, **FULL)
    write("amp-two", title="One side is silent")
    return book


def places(text: str, *words: str) -> list[int]:
    """Give where each word stands; the test fails where one is missing."""
    return [text.index(word) for word in words]


def test_the_order_of_a_sheet(full, fixbook):
    """Cautions, signs, targets, what to have to hand, parts, opening, body, closing, links."""
    out = fixbook("sheet", "amp-one").out
    found = places(
        out, "Hums with the volume", "Cautions", "Signs", "Targets", "Have to hand: multimeter",
        "Parts", "Opening", "Step by step", "Closing", "Links",
    )  # fmt: skip
    assert found == sorted(found)


def test_cautions_come_before_anything_to_be_done(full, fixbook):
    """The first thing that can hurt is told before the first step."""
    out = fixbook("sheet", "amp-one").out
    assert out.index("Unplug and prove it dead") < out.index("take off the cover")


def test_closing_is_opening_backwards_with_every_fastener(full, fixbook):
    """What was opened last is closed first, and each fastener is counted back."""
    out = fixbook("sheet", "amp-one").out.split("Closing")[1]
    found = places(out, "swing the board out [all back: 2 screws]",
                   "take off the cover [all back: 6 screws]")  # fmt: skip
    assert found == sorted(found)


def test_several_windows_say_who_says_what_and_where_they_agree(full, fixbook):
    """Where people disagree each window has its source, and the overlap is told."""
    blocks = json.loads(fixbook("sheet", "amp-one", "--json").out)["blocks"]
    (table,) = [block for block in blocks if block.get("heading") == "Targets"]
    assert [row[2] for row in table["rows"]] == [
        "0 to 200 mV", "8 to 12 mV (service data)", "10 to 20 mV (the bench)",
        "all agree: 10 mV to 12 mV",
    ]  # fmt: skip


def test_windows_that_do_not_overlap_say_so(write, fixbook):
    """No common ground is told, not hidden."""
    rows = [{"window": "1 .. 2 V", "says": "a"}, {"window": "3 .. 4 V", "says": "b"}]
    write("amp-one", targets=[{"name": "rail", "at": "TP1", "reads": "dc", "windows": rows}])
    assert "they do not overlap" in fixbook("sheet", "amp-one").out


def test_links_name_the_command_that_opens_them(full, fixbook):
    """What is referred to can be typed as it stands."""
    out = fixbook("sheet", "amp-one").out.split("Links")[1]
    assert "fixbook sheet amp-two" in out
    assert "One side is silent" in out


def test_a_link_to_nothing_says_so(write, fixbook):
    """A reference to what is not there is shown as that."""
    write("amp-one", see=["amp-nine"])
    assert "not in this book" in fixbook("sheet", "amp-one").out


KEYS = [
    "id", "kind", "title", "unit", "section", "models", "share", "signs", "lay", "hazards",
    "skill", "minutes", "tools", "supplies", "targets", "parts", "opening", "also", "see",
    "sources", "aliases", "state", "replaced-by", "revised",
]  # fmt: skip


def test_json_has_every_field_of_the_front_matter(full, fixbook):
    """Every field is a typed value under its own name, with the blocks at the end."""
    data = json.loads(fixbook("sheet", "amp-one", "--json").out)
    assert (list(data)[: len(KEYS)], list(data)[-1]) == (KEYS, "blocks")


def test_json_has_typed_values(full, fixbook):
    """Numbers are numbers in the unit that is named, lists are lists."""
    data = json.loads(fixbook("sheet", "amp-one", "--json").out)
    window = data["targets"][0]["windows"][0]
    assert (window["low"], window["high"], window["unit"]) == (0.0, pytest.approx(0.2), "V")
    assert (data["minutes"], data["parts"][0]["count"], data["parts"][0]["is"]) == (
        40, 2, "capacitor",
    )  # fmt: skip
    assert data["opening"][0] == {"do": "take off the cover", "fasteners": "6 screws"}
    assert data["signs"] == {"low-drone": {"seen": "always"}}


def test_json_blocks_have_their_kind(full, fixbook):
    """Each block says what it is; the cautions come first among what is to be done."""
    data = json.loads(fixbook("sheet", "amp-one", "--json").out)
    kinds = [block["kind"] for block in data["blocks"]]
    assert set(kinds) <= {"caution", "text", "table", "steps", "picture", "reading", "panel"}
    assert kinds.index("caution") < kinds.index("steps")


def test_an_unknown_id_is_status_2_with_close_matches(full, fixbook):
    """A misspelt id names the near ones."""
    ran = fixbook("sheet", "amp-onn")
    assert (ran.status, ran.out) == (2, "")
    assert "there is no write-up 'amp-onn'; did you mean amp-one" in ran.err


def test_a_write_up_with_faults_is_not_said_to_be_missing(write, fixbook):
    """A file that cannot be used is told as that, with what says more; it is no close match."""
    write("amp-one", kind="falt")
    ran = fixbook("sheet", "amp-one")
    assert (ran.status, ran.out) == (2, "")
    assert "the write-up 'amp-one' has faults" in ran.err
    assert "fixbook proof" in ran.err
    assert "did you mean" not in ran.err


def test_an_unknown_id_as_json(full, fixbook):
    """The error has the shape that every command's error has."""
    ran = fixbook("sheet", "amp-onn", "--json")
    error = json.loads(ran.out)
    assert (ran.status, list(error), list(error["error"])) == (
        2, ["error"], ["input", "read", "why", "choices"],
    )  # fmt: skip
    assert "amp-one" in error["error"]["choices"]


@pytest.mark.parametrize(
    "id", ["../amp-one", "/etc/passwd", "amp one", "AMP\x1b[2J", "", "x" * 5000, "con", "\udcff"],
    ids=["parent", "absolute", "blank", "escape", "empty", "long", "device", "half"],
)  # fmt: skip
def test_a_hostile_id_is_unknown_and_nothing_more(id, full, fixbook):
    """No id leads out of the book, and none is printed raw."""
    ran = fixbook("sheet", id)
    assert (ran.status, ran.out, "\x1b" in ran.err) == (2, "", False)
    assert "there is no write-up" in ran.err


@pytest.mark.parametrize("id", ["AMP-ONE", " amp-one "])
def test_an_id_is_found_in_any_case(id, full, fixbook):
    """Capitals and blanks around an id do no harm."""
    assert fixbook("sheet", id).status == 0


def test_a_former_id_opens_the_entry(write, fixbook):
    """What an entry was called before still finds it."""
    write("amp-hum", aliases=["amp-old-hum"], title="Hums")
    assert json.loads(fixbook("sheet", "amp-old-hum", "--json").out)["id"] == "amp-hum"


def test_without_an_id_the_command_says_what_is_missing(book, fixbook):
    """`fixbook sheet` alone is a wrong command line."""
    ran = fixbook("sheet")
    assert (ran.status, "ID" in ran.err) == (2, True)


def test_an_own_entry_replaces_a_starter_entry_and_says_so(write, book, fixbook):
    """A shop's own write-up stands in the starter book's place, on its sheet and in the search."""
    path = next(path for path in sorted(starter().rglob("*.md")) if "technique" in path.parts)
    (book.folder / "fixbook.toml").write_text('name = "Test"\n', encoding="utf-8")
    write(path.stem, kind="technique", unit="technique", share=None, title="Quibblewort of ours")
    sheet = fixbook("sheet", path.stem)
    assert "This is your own write-up; it replaces the starter book's." in sheet.out
    hits = json.loads(fixbook("find", "quibblewort", "--json").out)["hits"]
    assert [hit["id"] for hit in hits] == [path.stem]
    assert json.loads(fixbook("sheet", path.stem, "--json").out)["replaces_starter"] is True


def starter():
    """Give the starter book's folder."""
    from fixbook.store.bundled import starter_folder

    return starter_folder()


def test_a_withdrawn_entry_names_what_replaces_it(write, fixbook):
    """What should not be followed says so first, with where to go."""
    write("amp-old", state="withdrawn", **{"replaced-by": "amp-new"})
    write("amp-new")
    assert "This write-up is withdrawn. Use amp-new instead." in fixbook("sheet", "amp-old").out


@pytest.mark.parametrize(
    ("state", "said"), [("written", True), ("bench-proven", False)], ids=["written", "proven"]
)
def test_what_nobody_has_proven_says_so(state, said, write, fixbook):
    """A write-up from general knowledge is told from one that was proven here."""
    write("amp-one", state=state)
    assert ("not proven at this bench" in fixbook("sheet", "amp-one").out) == said


def test_a_faulty_entry_is_shown_with_its_faults_counted(write, fixbook):
    """What is wrong in a file is left out of its sheet, and the sheet says so."""
    write("amp-one", minutes="soon", skill="sodering")
    out = " ".join(fixbook("sheet", "amp-one").out.split())
    assert "This file has 2 faults" in out
    assert "fixbook proof" in out


def test_an_unknown_hazard_is_still_a_caution(write, fixbook):
    """A hazard that nobody defined is shown as a danger all the same."""
    write("amp-one", hazards=["ray-gun"])
    assert "Danger: ray-gun." in fixbook("sheet", "amp-one").out


CHECKS = {
    "inside": ("supply ripple=100 mV", "pass"),
    "outside": ("supply ripple=300 mV", "fail"),
    "part of the name": ("ripple=300mV", "fail"),
    "capitals": ("Supply Ripple=0.1", "pass"),
    "at the edge": ("supply ripple=200 mV", "pass"),
}


@pytest.mark.parametrize(("said", "verdict"), CHECKS.values(), ids=CHECKS)
def test_a_reading_is_judged_against_its_window(said, verdict, full, fixbook):
    """`--check` gives the verdict; a fail is an answer, so the status is 0."""
    ran = fixbook("sheet", "amp-one", "--check", said, "--json")
    (block,) = [one for one in json.loads(ran.out)["blocks"] if one["kind"] == "reading"]
    assert (ran.status, block["verdict"]) == (0, verdict)


def test_a_window_without_room_is_a_fault_of_the_file_and_judges_nothing(write, fixbook):
    """A window whose ends are one value is reported by proof, and a check is refused in words."""
    write("amp-one", targets=[{**TARGET, "window": "5 .. 5 V"}])
    ran = fixbook("sheet", "amp-one", "--check", "ripple=5V")
    assert (ran.status, "states no window" in ran.err) == (2, True)
    assert "5 .. 5 V leaves no room between its ends" in fixbook("proof").out


def test_a_reading_far_outside_is_held_against_the_right_limit(full, fixbook):
    """However far off, a reading that is too high is told against the high limit."""
    out = fixbook("sheet", "amp-one", "--check", "ripple=1e15 V").out
    assert "above the high limit of 200 mV" in " ".join(out.split())


def test_without_a_meter_the_verdict_says_so(full, fixbook):
    """A verdict that allows for no meter error says that it does not."""
    out = " ".join(fixbook("sheet", "amp-one", "--check", "ripple=100mV").out.split())
    assert "The meter's accuracy is not stated in fixbook.toml" in out


METER = (
    'name = "Test"\nstarter = false\n[[meters]]\nreads = "peak-to-peak"\npercent = 5\ncounts = 2\n'
    'resolution = "1 mV"\nup_to = "2 V"\n'
)


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [("100 mV", "pass"), ("199 mV", "cannot tell"), ("201 mV", "cannot tell"), ("300 mV", "fail")],
)
def test_with_a_meter_the_window_is_guarded(reading, verdict, full, fixbook):
    """Near the edge of a window a meter of stated accuracy cannot tell."""
    (full.folder / "fixbook.toml").write_text(METER, encoding="utf-8")
    ran = fixbook("sheet", "amp-one", "--check", f"ripple={reading}", "--json")
    (block,) = [one for one in json.loads(ran.out)["blocks"] if one["kind"] == "reading"]
    assert (block["verdict"], "not stated" in block["why"]) == (verdict, False)


def test_a_meter_too_coarse_for_the_window_says_what_is_outside(full, fixbook):
    """The verdict stays open, and a reading that is surely outside is said to be."""
    coarse = METER.replace("counts = 2", "counts = 200")
    (full.folder / "fixbook.toml").write_text(coarse, encoding="utf-8")
    ran = fixbook("sheet", "amp-one", "--check", "ripple=1V", "--json")
    (block,) = [one for one in json.loads(ran.out)["blocks"] if one["kind"] == "reading"]
    assert (block["verdict"], "above the high limit" in block["why"]) == ("cannot tell", True)


def test_a_target_of_several_windows_has_a_verdict_for_each(full, fixbook):
    """Each window judges for itself, with who says it."""
    ran = fixbook("sheet", "amp-one", "--check", "idle=9 mV", "--json")
    blocks = [one for one in json.loads(ran.out)["blocks"] if one["kind"] == "reading"]
    assert [block["verdict"] for block in blocks] == ["pass", "fail"]
    assert ["service data" in blocks[0]["why"], "the bench" in blocks[1]["why"]] == [True, True]


def test_several_checks_at_once(full, fixbook):
    """Readings are judged one by one, in the order given."""
    ran = fixbook("sheet", "amp-one", "--check", "ripple=1V", "--check", "idle=11mV", "--json")
    blocks = [one for one in json.loads(ran.out)["blocks"] if one["kind"] == "reading"]
    assert [block["verdict"] for block in blocks] == ["fail", "pass", "pass"]


WRONG = {
    "no reading": ("supply ripple", "is no reading of a target"),
    "empty reading": ("supply ripple=", "is no reading of a target"),
    "unknown target": ("suply ripple=1V", "did you mean supply ripple"),
    "ambiguous target": ("u=1V", "could be 'supply ripple' or 'idle current'"),
    "wrong kind": ("ripple=4k7 ohm", "a voltage is wanted here"),
    "no value": ("ripple=lots", "lots has no digit in it"),
    "no name": ("=1V", "has no target"),
}


@pytest.mark.parametrize(("said", "why"), WRONG.values(), ids=WRONG)
def test_a_reading_that_cannot_be_judged_is_refused(said, why, full, fixbook):
    """Status 2, and a sentence with what was read and what would be right."""
    ran = fixbook("sheet", "amp-one", "--check", said)
    assert (ran.status, why in ran.err, ran.out) == (2, True, "")


def test_a_body_cannot_write_to_the_terminal(write, fixbook):
    """Escape sequences in every field and in the body are printed as marks."""
    bad = "\x1b]0;mine\x07\u202e"
    write(
        "amp-one", title=f"Hums {bad}", section=f"sup{bad}ply", body=f"\n## {bad}\n\n{bad}\n",
        tools=[bad], models=[f"TA {bad}"], signs={"low-drone": "always"},
        parts=[{"at": bad, "is": bad, "value": bad}], opening=[{"do": bad, "fasteners": bad}],
        targets=[{**TARGET, "name": f"ripple {bad}", "at": bad, "note": bad}], sources=[bad],
    )  # fmt: skip
    said = [fixbook(*words) for words in (("sheet", "amp-one"), ("find", "hums"), ("proof",))]
    text = "".join(one.out + one.err for one in said)
    assert not {"\x1b", "\x07", "\u202e"} & set(text)
