"""A small book of write-ups, and indexes over it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import pytest

from fixbook.core.query import Document, Words
from fixbook.search import Index

WORDS = Words(
    groups=(("pot", "potentiometer", "variable resistor"), ("hum", "drone")),
    one_way={"dead": ("no power", "will not turn on")},
    elsewhere=("violin bow", "dog", "hum"),
)


def write_up(key: str, title: str, body: str = "", **facets: str) -> Document:
    """Give a write-up with a title, a body and facets."""
    return Document(
        key,
        f"{key}.md",
        {"title": title, "body": body},
        {name: tuple(value.split()) for name, value in facets.items()},
        {"id": key, "title": title},
    )


BOOK = (
    write_up(
        "hum-reservoir",
        "Hum at twice the mains frequency",
        "A steady low hum from every output. Change the 4700 µF 35 V capacitor. The rail dips.",
        unit="supply", hazard="mains stored-charge",
    ),
    write_up(
        "relay-contacts",
        "One side drops out",
        "The relay contact is dirty and the TDA-1234B beside it is hot. Colour: none.",
        unit="amp", hazard="mains",
    ),
    write_up(
        "will-not-start",
        "It will not turn on",
        "The fuse is blown. The potentiometer is fine, and so is the back-light.",
        unit="amp", model="A1 B2",
    ),
    write_up(
        "negative-rail",
        "No -15V rail",
        "Measure between b-e of the pass transistor. A/C is fine. No sound from the left channel.",
        unit="supply",
    ),
)  # fmt: skip


@pytest.fixture
def book() -> Sequence[Document]:
    """The small book's write-ups."""
    return BOOK


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder for an index, not made yet."""
    return tmp_path / "index"


@pytest.fixture
def make(folder: Path) -> Callable[..., Index]:
    """Build an index over some documents."""

    def build(documents: Iterable[Document] = BOOK, *, fast: bool = False) -> Index:
        index = Index(folder, "1", fast=fast)
        given = {d.source: [d] for d in documents}
        index.update(given, stamps=dict.fromkeys(given, "1"), words=WORDS)
        return index

    return build


@pytest.fixture
def index(make: Callable[..., Index]) -> Index:
    """An index over the small book."""
    return make()
