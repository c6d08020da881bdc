"""A made-up unit for narrowing, as entries and words, and its model."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from pathlib import Path

import pytest
from fixbook_plugins.narrowing.model import Model, build_model

from fixbook.api import Counts, Entry, Sign, Unit, Vocabulary

SAME = {"ripple": ("sag",)}


def sign(name: str, seen: float = 0.1, **more: object) -> Sign:
    """Make a sign with two answers."""
    values = {"minutes": 1.0, "says_the_same_as": SAME.get(name, ()), **more}
    background = {"seen": seen, "not-seen": round(1 - seen, 6)}
    return Sign(name, f"Is there {name}?", background, **values)  # type: ignore[arg-type]


def fault(name: str, share: str = "common", **signs: str | Mapping[str, str]) -> Entry:
    """Make a fault; `hum="always"` or `tone={"low": "always"}`, with `_` for a hyphen."""
    said = {
        key.replace("_", "-"): {"seen": often} if isinstance(often, str) else dict(often)
        for key, often in signs.items()
    }
    return Entry(name, "fault", f"The {name} is gone", "amp", share=share, signs=said, minutes=30)


SIGNS = (
    sign("hum", customer=True, minutes=0.5, lay=("drones", "low note all the time")),
    sign("crackle", customer=True, minutes=0.5, lay=("crackling", "frying noise")),
    sign("ripple", 0.05, hazards=("mains",), minutes=5.0),
    sign("sag", 0.08, hazards=("mains",), minutes=4.0),
    sign("dust", 0.3, minutes=2.0),
    Sign("tone", "Which tone?", {"low": 0.2, "high": 0.1, "none": 0.7}, 1.0),
)
FAULTS = (
    fault("capacitor", hum="always", ripple="always", sag="usually", tone={"low": "usually"}),
    fault("control", crackle="always", hum="never", tone={"none": "always"}),
    fault("switch", "rare", crackle="sometimes", dust="usually", hum="rarely"),
)


@pytest.fixture
def terminal() -> Iterator[Callable[..., object]]:
    """Run a command on a terminal that is high enough to show all of it."""
    if sys.platform == "win32":
        pytest.skip("there are no pseudo-terminals on this system")
    sys.path.insert(0, str(Path(__file__).parents[2] / "screen"))
    from terminal import Terminal

    with ExitStack() as stack:

        def run(*words: str, rows: int = 1000) -> Terminal:
            quiet = {**os.environ, "PROMPT_TOOLKIT_NO_CPR": "1"}
            return stack.enter_context(Terminal(100, rows, words=words, environment=quiet))

        yield run


@pytest.fixture
def words() -> Vocabulary:
    """Give the unit's words."""
    return Vocabulary({"amp": Unit("amp", "amplifier")}, {one.id: one for one in SIGNS})


@pytest.fixture
def make(words: Vocabulary) -> Callable[..., Model]:
    """Make a model: of the faults above, unless others are given."""

    def made(*faults: Entry, counts: Counts | None = None, words: Vocabulary = words) -> Model:
        return build_model("amp", faults or FAULTS, words, counts)

    return made


@pytest.fixture
def model(make: Callable[..., Model]) -> Model:
    """Give the model of the faults above."""
    return make()
