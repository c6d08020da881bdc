"""What the starter book promises of itself."""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.app.proofing import proof
from fixbook.core.entry import Entry
from fixbook.core.links import links_in, read_link
from fixbook.core.vocabulary import Vocabulary, likelihoods
from fixbook.settings import Place

ROOT = Path(__file__).parents[2] / "entries"
WHOLE = 114
"""How many write-ups ship."""
LIKELIHOOD_APART = 0.4
MUST_SAY_STOP = {"mains", "stored-charge", "high-voltage", "laser", "lithium"}
STOP = re.compile(
    r"\b(stops?\b|hand(ed)? (it|the \w+|on|over|to)|pass (it|the \w+)|send it|give (it|the job)"
    r"|leave it to|goes to|qualified|licen[sc]e|trained|withdraw it|call a halt)",
    re.IGNORECASE,
)
"""How the write-ups say that the work ends here or goes to somebody else; each in its own words."""
CODES_FIRST = (
    "mains", "stored-charge", "high-voltage", "live-chassis", "laser", "lithium", "toxic",
    "implosion",
)  # fmt: skip


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """The starter book alone, with a cache of its own."""
    home = tmp_path_factory.mktemp("starter")
    return Library(Place(None, "nothing"), Folders(home / "c", home / "d", home / "s"))


@pytest.fixture(scope="module")
def entries(library: Library) -> list[Entry]:
    """Every write-up of the starter book."""
    return [filed.entry for filed in library.filed()]


@cache
def sentences(body: str) -> tuple[str, ...]:
    """Give the sentences of a body, without headings, marks and numbers."""
    text = re.sub(r"^(#.*|\|.*\|)$", "", body, flags=re.MULTILINE)
    parts = re.split(r"(?<=[.!?])\s+|\n\n+", text)
    clean = (re.sub(r"^[\d\-.\s|]+", "", " ".join(part.split())).lower() for part in parts)
    return tuple(part for part in clean if len(part.split()) >= 4)


def test_every_write_up_ships(entries):
    """The starter book is whole."""
    assert len(entries) == WHOLE


def test_proofing_finds_nothing(library):
    """No file of the starter book has a fault of form."""
    assert proof(library).problems == ()


def test_nothing_claims_to_be_proven(entries):
    """Nothing here was proven at a bench, and each write-up says so."""
    assert {entry.state for entry in entries} == {"written"}


def test_every_sign_is_used(library, entries):
    """A sign that no write-up lists helps nobody tell faults apart."""
    used = {sign for entry in entries for sign in entry.signs}
    assert set(library.vocabulary.signs) - used == set()


def faults_within(unit: str, vocabulary: Vocabulary, entries: list[Entry]) -> list[Entry]:
    """Give the faults of a unit and of what it contains."""
    inside = vocabulary.unit_and_contents(unit)
    return [entry for entry in entries if entry.kind == "fault" and entry.unit in inside]


def best_difference(one: Entry, other: Entry, vocabulary: Vocabulary) -> float:
    """Give the largest difference that any sign's answer makes between two faults."""
    best = 0.0
    for sign in {*one.signs, *other.signs}:
        mine = likelihoods(one, vocabulary.signs[sign])
        theirs = likelihoods(other, vocabulary.signs[sign])
        best = max(best, *(abs(mine[answer] - theirs[answer]) for answer in mine))
    return best


def test_every_two_faults_of_a_unit_can_be_told_apart(library, entries):
    """Some sign is likelier by 0.4 with one fault than with the other."""
    vocabulary = library.vocabulary
    alike = {
        (one.id, other.id)
        for unit in vocabulary.units
        for one, other in combinations(faults_within(unit, vocabulary, entries), 2)
        if best_difference(one, other, vocabulary) < LIKELIHOOD_APART
    }
    assert alike == set()


def test_no_sentence_stands_in_two_write_ups(entries):
    """What two write-ups share is a technique, not a copied sentence."""
    owners: dict[str, str] = {}
    shared = {
        (owners[sentence], entry.id, sentence)
        for entry in entries
        for sentence in sentences(entry.body)
        if owners.setdefault(sentence, entry.id) != entry.id
    }
    assert shared == set()


def test_every_body_is_long_enough_to_help_and_short_enough_to_read(entries):
    """A body has 300 to 700 words."""
    sizes = {entry.id: len(re.findall(r"[A-Za-z0-9'-]+", _words(entry.body))) for entry in entries}
    assert {id: size for id, size in sizes.items() if not 300 <= size <= 700} == {}


def _words(body: str) -> str:
    return re.sub(r"\]\([^)]*\)", "]", body)


def test_dangerous_write_ups_say_when_to_stop(entries):
    """Where the work can kill, the text says when to stop and hand over."""
    silent = [
        entry.id
        for entry in entries
        if MUST_SAY_STOP & set(entry.hazards) and not STOP.search(entry.body)
    ]
    assert silent == []


@pytest.mark.parametrize("hazard", CODES_FIRST)
def test_cautions_defer_to_local_codes(library, hazard):
    """Where the law has a say, the caution says that it comes first."""
    assert "local codes" in library.vocabulary.hazards[hazard].full.lower()


def test_every_hazard_has_a_short_form_of_two_lines(library):
    """A screen shows each caution in two lines."""
    lines = {
        name: hazard.short.strip().count("\n")
        for name, hazard in library.vocabulary.hazards.items()
    }
    assert {name for name, breaks in lines.items() if breaks != 1} == set()


def test_techniques_are_linked_from_write_ups(entries):
    """A technique that nothing refers to is not found when it is needed."""
    named = {id for entry in entries for id in (*entry.see, *entry.also)}
    named |= {read_link(target).name for entry in entries for *_, target in links_in(entry.body)}
    assert {entry.id for entry in entries if entry.kind == "technique"} - named == set()


def pictures() -> list[Path]:
    """Give the pictures of the starter book."""
    return sorted((ROOT / "pictures").glob("*.svg"))


def test_there_are_pictures_enough():
    """At least fifteen things are shown rather than told."""
    assert len(pictures()) >= 15


@pytest.mark.parametrize("picture", pictures(), ids=lambda picture: picture.stem)
def test_picture_is_small_described_and_harmless(picture):
    """A drawing says what it shows, runs nothing and fetches nothing."""
    text = picture.read_text(encoding="utf-8")
    names = {node.tag.rpartition("}")[2] for node in ElementTree.fromstring(text).iter()}
    assert {"title", "desc"} <= names
    assert not names & {"script", "foreignObject", "image", "iframe"}
    assert not re.search(r"\bon\w+\s*=|href\s*=\s*[\"'](?!#)|url\((?!#)", text)
    assert len(text) < 40_000


def test_every_picture_is_shown_somewhere(entries):
    """A drawing that no write-up shows is clutter."""
    shown = {
        Path(target).stem
        for entry in entries
        for _, _, picture, _, target in links_in(entry.body)
        if picture
    }
    assert {picture.stem for picture in pictures()} == shown


def test_every_picture_has_words_for_those_who_cannot_see_it(entries):
    """The alternative text of a picture is a sentence, not a name."""
    short = {
        (entry.id, words)
        for entry in entries
        for _, _, picture, words, _ in links_in(entry.body)
        if picture and len(words.split()) < 5
    }
    assert short == set()


def test_drawings_are_made_by_their_scripts(tmp_path):
    """Each picture is what its script draws, byte for byte."""
    pytest.importorskip("schemdraw")
    import subprocess
    import sys

    script = Path(__file__).parent / "drawings" / "draw_all.py"
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path)],
        capture_output=True, text=True, check=False, timeout=110,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    drawn = {path.name: path.read_bytes() for path in tmp_path.glob("*.svg")}
    assert drawn == {path.name: path.read_bytes() for path in pictures()}
