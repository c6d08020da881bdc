"""The JSON Schemas agree with what the program itself reads."""

from __future__ import annotations

import json

import pytest

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.core.json_schema import entry_schema, words_schema
from fixbook.core.raw import Fields, Items
from fixbook.core.schema import read_entry
from fixbook.settings import Place
from fixbook.store.bundled import starter_folder
from fixbook.store.document import compose, read_document

jsonschema = pytest.importorskip("jsonschema")


def plain(raw):
    """Give what was read the way an editor's YAML reader gives it."""
    if isinstance(raw, Fields):
        return {name: plain(value) for name, value in raw.fields.items()}
    if isinstance(raw, Items):
        return [plain(one) for one in raw.items]
    return None if not raw.text and raw.plain else raw.text


@pytest.fixture(scope="module")
def words(tmp_path_factory):
    """Read the starter book's words, once."""
    place = tmp_path_factory.mktemp("folders")
    return Library(Place(None, "test"), Folders(place, place, place)).read_vocabulary()[0]


@pytest.fixture(scope="module")
def entries(words):
    """Give a validator of front matter with the starter book's words."""
    return jsonschema.Draft202012Validator(entry_schema(words))


def test_both_schemas_are_schemas(words):
    """They follow the dialect that they name."""
    for schema in (entry_schema(words), words_schema()):
        jsonschema.Draft202012Validator.check_schema(schema)


def test_the_command_prints_the_schema_of_the_open_book(book, fixbook):
    """The book's own words are the ones that are offered."""
    found = json.loads(fixbook("proof", "--schema", "entry").out)
    assert list(found["properties"]["signs"]["properties"]) == ["low-drone"]


def test_an_unknown_schema_is_refused(book, fixbook):
    """The message names those that there are."""
    ran = fixbook("proof", "--schema", "entries")
    assert (ran.status, "entry, vocabulary" in ran.err) == (2, True)


def test_every_starter_entry_is_valid(entries):
    """The schema refuses nothing that is right."""
    files = list(starter_folder().rglob("*.md"))
    bad = [
        path.name
        for path in files
        if not entries.is_valid(plain(read_document(path.read_text("utf-8"), "f").front))
    ]
    assert (bad, len(files) > 100) == ([], True)


def test_every_starter_vocabulary_is_valid():
    """The same for the files of words."""
    validator = jsonschema.Draft202012Validator(words_schema())
    files = list((starter_folder() / "vocabulary").glob("*.yaml"))
    bad = [path.name for path in files
           if not validator.is_valid(plain(compose(path.read_text("utf-8"), "f")[0]))]  # fmt: skip
    assert (bad, len(files) > 10) == ([], True)


GOOD = """\
id: amp-hum
kind: fault
title: Hums
unit: power-amplifier
signs:
  bass-weak: always
hazards: [mains]
minutes: 40
targets:
  - name: rail
    at: across C4, idle
    reads: dc
    window: 30 .. 33 V
parts:
  - at: C4
    is: capacitor
    count: 2
state: written
revised: 2026-11-25
"""
BROKEN = {
    "kind": ("kind: fault", "kind: fult"),
    "unit": ("power-amplifier", "power-amplifer"),
    "sign": ("bass-weak", "bass-week"),
    "how often": ("always", "ever"),
    "hazard": ("[mains]", "[main]"),
    "list": ("[mains]", "mains"),
    "id": ("id: amp-hum", "id: Amp Hum"),
    "title": ("title: Hums\n", ""),
    "minutes": ("minutes: 40", "minutes: forty"),
    "reads": ("reads: dc", "reads: volts"),
    "target without a name": ("name: rail\n    at", "at"),
    "unknown field": ("minutes", "minuts"),
    "field of a part": ("count: 2", "cont: 2"),
    "state": ("written", "wrote"),
    "date": ("2026-11-25", "last week"),
    "technique": ("kind: fault", "kind: technique"),
}


@pytest.mark.parametrize(("old", "new"), BROKEN.values(), ids=BROKEN)
def test_what_the_program_refuses_the_schema_refuses(old, new, words, entries):
    """A broken write-up is marked while it is typed, as proofing marks it afterwards."""
    front, _ = compose(GOOD.replace(old, new, 1), "f")
    refused = bool(read_entry(front, "", words, file="f")[1])
    assert (refused, entries.is_valid(plain(front))) == (True, False)


def test_the_write_up_they_are_made_from_is_good(words, entries):
    """Both take it unbroken."""
    front, _ = compose(GOOD, "f")
    assert (read_entry(front, "", words, file="f")[1], entries.is_valid(plain(front))) == ([], True)
