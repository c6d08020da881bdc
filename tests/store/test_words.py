"""Vocabulary files of a folder, and the small file they are kept in."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixbook.core.problems import Problem
from fixbook.core.vocabulary import Hazard, Sign, Unit, Vocabulary
from fixbook.store.folder import list_entries
from fixbook.store.words import dump, load, read_words, unknown_references

QUICK = settings(max_examples=40, deadline=None)


def _words(root: Path, **files: str) -> tuple[Vocabulary, list[Problem]]:
    folder = root / "vocabulary"
    folder.mkdir()
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return read_words(list_entries(root), shown="entries")


def test_all_files_make_one_vocabulary(tmp_path: Path) -> None:
    """Each file adds its own words."""
    vocabulary, problems = _words(
        tmp_path,
        units="units: {test-amp: {name: test amplifier}}\n",
        hazards="hazards: {mains: {short: Mains can kill.}}\n",
    )
    assert (list(vocabulary.units), list(vocabulary.hazards), problems) == (
        ["test-amp"],
        ["mains"],
        [],
    )


def test_one_damaged_file_hides_no_other(tmp_path: Path) -> None:
    """A file that is no YAML is reported with its place, and the others count."""
    vocabulary, problems = _words(
        tmp_path, bad="units: [\n", good="units: {test-amp: {name: test amplifier}}\n"
    )
    assert list(vocabulary.units) == ["test-amp"]
    assert [(one.file, one.line) for one in problems] == [("entries/vocabulary/bad.yaml", 2)]


def test_a_file_that_is_not_utf_8_hides_no_other(tmp_path: Path) -> None:
    """A file of other bytes is reported and passed over."""
    (tmp_path / "vocabulary").mkdir()
    (tmp_path / "vocabulary" / "a.yaml").write_bytes(b"units: {\xff}\n")
    (tmp_path / "vocabulary" / "b.yml").write_bytes(b"units: {test-amp: {name: amp}}\n")
    vocabulary, problems = read_words(list_entries(tmp_path), shown="entries")
    assert list(vocabulary.units) == ["test-amp"]
    assert [one.rule for one in problems] == ["not-utf-8"]


def test_a_word_that_two_files_define_is_reported(tmp_path: Path) -> None:
    """The second file is named, with the one that was first."""
    row = "hazards: {mains: {short: Mains can kill.}}\n"
    _, problems = _words(tmp_path, a=row, b=row)
    assert "\n".join(str(one) for one in problems) == (
        "entries/vocabulary/b.yaml:1:1: the hazard 'mains' is defined twice; "
        "keep one of them; the first is in a.yaml"
    )


def test_no_vocabulary_at_all_is_no_fault(tmp_path: Path) -> None:
    """A book may do without words of its own."""
    assert read_words(list_entries(tmp_path), shown="entries") == (Vocabulary(), [])


def test_a_word_that_is_nowhere_defined_is_reported() -> None:
    """Each reference to an unknown unit, sign or hazard is named with where it stands."""
    vocabulary = Vocabulary(
        units={"amp": Unit("amp", "amp", contains=("supply",))},
        signs={
            "hum": Sign("hum", "?", {"a": 1.0}, 1.0, ("mains",), says_the_same_as=("drone",)),
        },
    )
    assert [one.problem for one in unknown_references(vocabulary, "entries/vocabulary")] == [
        "units.amp.contains: 'supply' is no unit that is known",
        "signs.hum.says-the-same-as: 'drone' is no sign that is known",
        "signs.hum.hazards: 'mains' is no hazard that is known",
    ]


def test_words_that_are_all_defined_have_no_fault() -> None:
    """A closed vocabulary is right."""
    vocabulary = Vocabulary(
        {"amp": Unit("amp", "amp", contains=("amp",))},
        {"hum": Sign("hum", "?", {"a": 1.0}, 1.0, ("mains",), says_the_same_as=("hum",))},
        {"mains": Hazard("mains", "a", "b")},
    )
    assert unknown_references(vocabulary, "entries/vocabulary") == []


_text = st.text(max_size=8)
_several = st.lists(_text, max_size=3).map(tuple)
_vocabularies = st.builds(
    Vocabulary,
    st.dictionaries(_text, st.builds(Unit, _text, _text, _several, _several), max_size=2),
    st.dictionaries(
        _text,
        st.builds(
            Sign,
            _text,
            _text,
            st.dictionaries(_text, st.floats(0, 1), max_size=3),
            st.floats(0.1, 60),
            _several,
            st.booleans(),
            _several,
            _several,
        ),
        max_size=2,
    ),
    st.dictionaries(_text, st.builds(Hazard, _text, _text, _text), max_size=2),
    st.lists(_several, max_size=2).map(tuple),
    st.dictionaries(_text, _several, max_size=2),
    _several,
)


@QUICK
@given(_vocabularies)
def test_a_vocabulary_that_is_kept_is_read_again(vocabulary: Vocabulary) -> None:
    """What is dumped is loaded as the same words, the order of answers included."""
    again = load(dump(vocabulary))
    assert again == vocabulary
    assert [one.answers for one in again.signs.values()] == [
        one.answers for one in vocabulary.signs.values()
    ]


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "5", "null", "{}", '{"units": []}', '{"units": {"amp": {"colour": "red"}}}'],
    ids=["empty", "cut off", "list", "number", "null", "mapping", "units", "field"],
)
def test_a_damaged_file_is_no_vocabulary(text: str) -> None:
    """Anything but what was dumped is a ValueError, upon which it is made anew."""
    with pytest.raises(ValueError):
        load(text)
