"""British and American spellings meet; words that differ in meaning do not."""

from __future__ import annotations

import pytest

from fixbook.search.analysis import Analyser
from fixbook.search.spelling import one_spelling


@pytest.mark.parametrize(
    ("british", "american"),
    [
        ("colour", "color"), ("coloured", "colored"), ("grey", "gray"), ("centre", "center"),
        ("aluminium", "aluminum"), ("analogue", "analog"), ("labelled", "labeled"),
        ("signalling", "signaling"), ("ionisation", "ionization"), ("analyse", "analyze"),
        ("vapour", "vapor"), ("fibre", "fiber"), ("defence", "defense"), ("mould", "mold"),
        ("sulphur", "sulfur"), ("odour", "odor"), ("channelled", "channeled"), ("gauge", "gage"),
    ],
)  # fmt: skip
def test_two_spellings_meet(british: str, american: str) -> None:
    """Each pair has one form."""
    assert one_spelling(british) == one_spelling(american)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("disc", "disk"), ("metre", "meter"), ("programme", "program"), ("filed", "filled"),
        ("valve", "tube"), ("size", "side"),
    ],
)  # fmt: skip
def test_words_of_other_meaning_stay_apart(one: str, other: str) -> None:
    """At a bench these differ."""
    analyser = Analyser()
    assert analyser.term(one) != analyser.term(other)


def test_most_of_a_published_list_meets() -> None:
    """Of the pairs in the package breame that share their first three letters, nine in ten meet.

    The rest are words of the kitchen and the law, or differ by more than spelling.
    """
    words = pytest.importorskip("breame.data.spelling_constants")
    analyser = Analyser()
    pairs = [
        (british, american)
        for british, american in words.BRITISH_ENGLISH_SPELLINGS.items()
        if british[:3] == american[:3] and british.isalpha() and american.isalpha()
    ]
    met = sum(analyser.term(british) == analyser.term(american) for british, american in pairs)
    assert met / len(pairs) > 0.9
