"""Write-ups that are too like each other are found, and those that differ are not."""

from __future__ import annotations

import pytest

from fixbook.core.entry import Entry
from fixbook.core.proof_likeness import near_duplicates, untold
from fixbook.core.vocabulary import Sign, Vocabulary

BACKGROUND = {"seen": 0.1, "not-seen": 0.9}
WORDS = Vocabulary(
    signs={one: Sign(one, "Does it?", BACKGROUND, 1.0) for one in ("hum", "buzz", "hot")}
)
LONG = "The relay contact oxidises in a smoky room and the sound fades until a loud note. " * 6


def entry(id: str, body: str = "", unit: str = "amp", **signs: str) -> Entry:
    """Make a fault that shows signs: `entry("amp-hum", hum="always")`."""
    return Entry(
        id=id, kind="fault", title=id, unit=unit, body=body,
        signs={name: {"seen": often} for name, often in signs.items()},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ({"hum": "always"}, {"hum": "always"}, True),
        ({"hum": "always"}, {"hum": "usually"}, True),
        ({"hum": "always"}, {"hum": "always", "hot": "usually"}, False),
        ({"hum": "always"}, {"buzz": "always"}, False),
        ({}, {}, True),
        ({"hum": "rarely"}, {}, True),
        ({"hum": "always"}, {}, False),
    ],
)
def test_faults_that_no_sign_tells_apart(one, other, same):
    """Two faults of one unit need a sign whose answers differ."""
    found = list(untold([entry("a-one", **one), entry("a-two", **other)], WORDS))
    assert [(late.id, early.id) for late, early in found] == ([("a-two", "a-one")] if same else [])


def test_faults_of_different_units_are_not_compared():
    """The unit tells them apart."""
    pair = [entry("a-one", hum="always"), entry("b-two", unit="radio", hum="always")]
    assert list(untold(pair, WORDS)) == []


def test_nearly_the_same_text_is_found_with_how_much():
    """A copy with another first word is pointed out, and the share is high."""
    found = list(near_duplicates([entry("a-one", LONG), entry("a-two", "Now: " + LONG)]))
    assert [(late.id, early.id, share > 0.9) for late, early, share in found] == [
        ("a-two", "a-one", True)
    ]


def test_a_shared_sentence_is_no_duplicate():
    """Two texts with a sentence in common and the rest their own are two write-ups."""
    own = [" ".join(f"{word}{n}" for n in range(60)) for word in ("amber", "birch")]
    pair = [entry(f"a-{n}", "The relay contact oxidises in a smoky room. " + text)
            for n, text in enumerate(own)]  # fmt: skip
    assert list(near_duplicates(pair)) == []
