"""Every hook is called by a real command: a book's own plugin, trusted, and what the user sees."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import fixbook
from fixbook.hooks import specs

HEAD = "from fixbook.api import *\n\n"
HOOKS = [name for name in vars(specs) if name.startswith("fixbook_")]

CALCULATORS = """
@calculator("shelf-load", formula="P = V I")
def shelf_load(voltage: Volts, current: Amps) -> Answer:
    '''What does the shelf lamp take?'''
    return Answer([Value("power", voltage * current, WATTS)])

@hook
def fixbook_calculators():
    return calculators_in(globals())
"""
COMMANDS = """
def options(parser):
    parser.add_argument("what")

def run(bench, given):
    bench.show([TextBlock("Drawer", f"{given.what} in {bench.folder and 'the book'}")])
    return 0

@hook
def fixbook_commands():
    return [Command("stock", "what is in the drawers", options, run)]
"""
SHEET_BLOCKS = """
@hook
def fixbook_sheet_blocks(bench, entry):
    return [TextBlock("From the shop", f"shelf seven holds {entry.id}")]
"""
LINK_SCHEMES = """
def resolve(bench, link):
    return LinkTarget(link.name, f"fixbook stock {link.name}")

@hook
def fixbook_link_schemes():
    return [LinkScheme("drawer", resolve)]
"""
INDEX_FIELDS = """
@hook
def fixbook_index_fields(bench, entry):
    return IndexFields(facets={"shelf": ("seven",)}, text="quibblewort")
"""
SUMMARY = """
@hook
def fixbook_summary(bench, entry):
    return f"mended here 3 times: {entry.id}"
"""
PROOF_RULES = """
def check(bench, entry):
    yield Finding("no tongs are named", "name them", field="tools")
    yield Finding("the body is short", "write more", line=2)

@hook
def fixbook_proof_rules():
    return [ProofRule("tongs-named", check)]
"""
WORDS = """
@hook
def fixbook_words():
    return Vocabulary(synonyms=(("quibblewort", "volume"),))
"""
DOCUMENTS = """
def document(id):
    return ExtraDocument("memo", f"Memo {id}: the quibblewort was loose")

@hook
def fixbook_index_documents(bench):
    return [ExtraDocuments("memo", lambda: {"m1": "1"}, document)]
"""
ASKS_BENCH = """
def run(bench, given):
    counts = bench.evidence("test-amp")
    print(counts.faults, [one.name for one in bench.job_sources()])
    print(bench.job_facts("J-7"))
    return 0

@hook
def fixbook_commands():
    return [Command("counted", "what was counted", lambda parser: None, run)]

@hook
def fixbook_evidence(bench, unit):
    return Counts(faults={"amp-one": 3}) if unit == "test-amp" else None

@hook
def fixbook_job_facts(bench, number):
    return JobFacts(complaint="the quibblewort hums") if number == "J-7" else None

@hook
def fixbook_job_sources():
    return [JobSource("card file", (".cards",), lambda path, options: [])]
"""
SEEN_HERE = """
@hook
def fixbook_seen_here(bench):
    return {"amp-one": 90}
"""
BACKUP = """
@hook
def fixbook_backup(bench):
    return [BackupFile("../quibblewort.txt", lambda: b"loose")]
"""
JOB_NOTE = """
@hook
def fixbook_job_note(bench, number, text, signs):
    print(f"noted in {number}: {text} {dict(signs)}")
    return True

@hook
def fixbook_commands():
    def run(bench, given):
        return 0 if bench.note_job("J-7", "quibblewort", {"low-drone": "seen"}) else 1
    return [Command("memo", "a note", lambda parser: None, run)]
"""
RENAMED = """
@hook
def fixbook_renamed(bench, old, new):
    print(f"followed {old} to {new} in {bench.entry(new).unit}")
"""
PROOFS = {
    "fixbook_calculators": (CALCULATORS, ("calc", "shelf-load", "12V", "2A"), "24 W"),
    "fixbook_commands": (COMMANDS, ("stock", "fuses"), "fuses in the book"),
    "fixbook_sheet_blocks": (SHEET_BLOCKS, ("sheet", "amp-one"), "shelf seven holds amp-one"),
    "fixbook_link_schemes": (LINK_SCHEMES, ("sheet", "amp-one"), "fixbook stock fuses"),
    "fixbook_index_fields": (INDEX_FIELDS, ("find", "quibblewort"), "amp-one"),
    "fixbook_summary": (SUMMARY, ("find", "drone"), "mended here 3 times: amp-one"),
    "fixbook_proof_rules": (PROOF_RULES, ("proof",), "tools: no tongs are named; name them"),
    "fixbook_words": (WORDS, ("find", "quibblewort"), "amp-one"),
    "fixbook_index_documents": (DOCUMENTS, ("find", "quibblewort", "--kind", "memo"), "Memo m1"),
    "fixbook_seen_here": (SEEN_HERE, ("find", "drone", "--explain"), "seen here 90 times"),
    "fixbook_backup": (BACKUP, ("book", "backup", "b.zip", "--anyway", "--json"), "quibblewort"),
    "fixbook_evidence": (ASKS_BENCH, ("counted",), "{'amp-one': 3}"),
    "fixbook_job_note": (JOB_NOTE, ("memo",), "noted in J-7: quibblewort {'low-drone': 'seen'}"),
    "fixbook_job_facts": (ASKS_BENCH, ("counted",), "the quibblewort hums"),
    "fixbook_renamed": (
        RENAMED,
        ("write", "--rename", "amp-one", "amp-new"),
        "followed amp-one to amp-new in test-amp",
    ),
    "fixbook_job_sources": (ASKS_BENCH, ("counted",), "card file"),
}
"""Each hook: a plugin, a command, and what the user sees of the hook's answer."""

BODY = "\n## Step by step\n\n1. Unplug it, turn the volume down.\n2. Look in [the drawer](drawer:fuses).\n"


@pytest.fixture
def one(book):
    """Give a book with one write-up that links into a drawer."""
    book.add("amp-one", title="One side drops out", body=BODY)
    return book


@pytest.mark.parametrize(("text", "words", "seen"), PROOFS.values(), ids=PROOFS)
def test_a_command_calls_the_hook(text, words, seen, one, plugged, fixbook):
    """What the plugin gives is what the user sees."""
    plugged(HEAD + text)
    assert seen in " ".join(fixbook(*words).out.split())


@pytest.mark.parametrize(("text", "words", "seen"), PROOFS.values(), ids=PROOFS)
def test_without_the_plugin_nothing_of_it_is_seen(text, words, seen, one, fixbook):
    """The same command without the plugin shows nothing of it: the proof above proves the call."""
    said = " ".join(fixbook(*words).out.split())
    assert seen not in said


def test_every_hook_that_is_called_has_a_proof():
    """A hook that a command calls is proved above; the bench screen's tests prove its own."""
    folder = Path(fixbook.__file__).parent
    apart = (folder / "hooks" / "specs.py", folder / "screen")
    files = [path for path in folder.rglob("*.py") if not {path, path.parent} & set(apart)]
    program = "".join(path.read_text(encoding="utf-8") for path in files)
    assert {name for name in HOOKS if f'"{name}"' in program} <= set(PROOFS)


def test_facets_of_a_plugin_are_counted(one, plugged, fixbook):
    """A plugin's facet stands beside the program's own in the JSON of a search."""
    plugged(HEAD + INDEX_FIELDS)
    found = json.loads(fixbook("find", "drone", "--json").out)
    assert found["facets"]["shelf"] == [["seven", 1]]


def test_a_line_of_a_proof_rule_is_a_line_of_the_file(one, plugged, fixbook):
    """A finding about the body is reported at its line in the file."""
    plugged(HEAD + PROOF_RULES)
    found = json.loads(fixbook("proof", "--json").out)["problems"]
    at = next(one for one in found if one["problem"] == "the body is short")
    text = (one.folder / "entries/test-amp/amp-one.md").read_text(encoding="utf-8").split("\n")
    assert (at["rule"], text[at["line"] - 1]) == ("tongs-named", "## Step by step")


def test_documents_of_plugins_stay_out_unless_asked_for(one, plugged, fixbook):
    """Past jobs and the like are in no result whose kind was not asked for."""
    plugged(HEAD + DOCUMENTS)
    assert fixbook("find", "quibblewort").status == 1


def test_calls_are_traced_on_request(one, plugged, fixbook):
    """--trace-hooks tells on the error stream which plugin gave what."""
    plugged(HEAD + SHEET_BLOCKS)
    said = fixbook("--trace-hooks", "sheet", "amp-one").err
    assert "hook fixbook_sheet_blocks in drawers: 1 values" in said
