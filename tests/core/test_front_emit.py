"""Front matter that is written reads back as the same texts, here and elsewhere."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.front_emit import WIDTH, emit_field, emit_fields
from fixbook.core.raw import Fields, Items
from fixbook.store.document import compose

AWKWARD = [
    "no", "~", "null", "1:30", "017", "1e3", "- a", "# x", "a: b", "a #b", "'q'", '"', "[a]", "{a",
    "a,b", "%x", "@", "`", "|", ">-", "a\nb", "  lead", "\x85", "\u2028", "word " * 40, "x:", "\ufeff",
    "a\tb", "-15 V", "4k7", "10 .. 20 V", "TDA-1234B", "µ Ω", "---", "...", "? a", "! a", "& a", "* a",
]  # fmt: skip
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=150) | st.sampled_from(AWKWARD)
names = st.from_regex(r"[a-z][a-z0-9-]{1,10}", fullmatch=True)
rows = st.dictionaries(names, texts, min_size=1, max_size=3)
values = (
    texts
    | st.lists(texts, max_size=4)
    | st.lists(rows, min_size=1, max_size=3)
    | st.dictionaries(names, texts | rows, min_size=1, max_size=3)
)


def plain(raw):
    """Give what was read as plain values."""
    if isinstance(raw, Fields):
        return {name: plain(value) for name, value in raw.fields.items()}
    return [plain(one) for one in raw.items] if isinstance(raw, Items) else raw.text


@given(st.dictionaries(names, values, max_size=4))
def test_what_is_written_reads_back(fields):
    """Every text, list and mapping comes back as it was, whatever signs it holds."""
    front, problems = compose(emit_fields(fields), "made-up.md")
    assert (plain(front), problems) == (fields, [])


def filled(value):
    """Give a value without the difference between nothing and an empty text."""
    if isinstance(value, dict):
        return {name: filled(one) for name, one in value.items()}
    return [filled(one) for one in value] if isinstance(value, list) else value or ""


@settings(max_examples=25, deadline=None)
@given(st.dictionaries(names, values, max_size=2))
def test_another_reader_of_yaml_1_2_reads_the_same(fields):
    """ruamel.yaml takes no text for a number, a date or a truth value."""
    yaml = pytest.importorskip("ruamel.yaml")
    read = yaml.YAML(typ="safe", pure=True).load(emit_fields(fields)) or {}
    assert filled(read) == filled(fields)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (40, "f: 40\n"),
        ("2026-11-25", "f: 2026-11-25\n"),
        ("across C4, idle", "f: across C4, idle\n"),
        (["solder", "a, b"], 'f: [solder, "a, b"]\n'),
        ([], "f: []\n"),
        (None, "f:\n"),
        ({"hum": "always", "kind": {"twice": "usually"}},
         "f:\n  hum: always\n  kind: {twice: usually}\n"),
        ([{"at": "C1", "is": "can"}], "f:\n  - at: C1\n    is: can\n"),
    ],
    ids=["number", "date", "comma", "list", "empty list", "nothing", "mapping", "rows"],
)  # fmt: skip
def test_the_form_is_the_books_own(value, written):
    """What needs no quotes has none, and rows stand one field a line."""
    assert emit_field("f", value) == written


def test_a_long_text_is_folded_into_short_lines():
    """Two people who change one note change different lines."""
    lines = emit_field("note", "common practice, no source " * 20 + "end").split("\n")
    assert max(len(line) for line in lines) <= WIDTH
