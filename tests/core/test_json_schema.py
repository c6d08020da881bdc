"""The JSON Schemas agree with what the program itself reads."""

from __future__ import annotations

import json

import pytest

from fixbook.core.raw import Fields, Items
from fixbook.core.schema import read_entry
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


@pytest.fixture
def schema(fixbook):
    """Give a validator of what the command prints: `schema("entry")`."""

    def make(what: str):
        found = json.loads(fixbook("proof", "--schema", what).out)
        jsonschema.Draft202012Validator.check_schema(found)
        return jsonschema.Draft202012Validator(found)

    return make


def test_every_starter_entry_is_valid(schema):
    """The schema refuses nothing that is right."""
    validator = schema("entry")
    files = [one for one in starter_folder().rglob("*.md")]
    bad = [
        path.name
        for path in files
        if not validator.is_valid(plain(read_document(path.read_text("utf-8"), "f").front))
    ]
    assert (bad, len(files) > 100) == ([], True)


def test_every_starter_vocabulary_is_valid(schema):
    """The same for the files of words."""
    validator = schema("vocabulary")
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
def test_what_the_program_refuses_the_schema_refuses(old, new, schema, fixbook):
    """A broken write-up is marked while it is typed, as proofing marks it afterwards."""
    from fixbook.app.folders import user_folders
    from fixbook.app.library import Library
    from fixbook.settings import Place

    text = GOOD.replace(old, new, 1)
    front, _ = compose(text, "f")
    words = Library(Place(None, "test"), user_folders()).vocabulary
    assert read_entry(front, "", words, file="f")[1]
    validator = schema("entry")
    assert not validator.is_valid(plain(front))
    assert validator.is_valid(plain(compose(GOOD, "f")[0]))
