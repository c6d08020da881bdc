"""Every calculator against its check values."""

from __future__ import annotations

import importlib.util
import sys
from collections import Counter
from pathlib import Path
from types import ModuleType

import pytest

from fixbook.core.calculation import run
from fixbook.core.calculator import Calculator
from fixbook.errors import CalculationError
from fixbook.hooks.loader import installed
from fixbook.hooks.registry import Registry


def _sibling(name: str) -> ModuleType:
    """Import a module beside this one: test folders are no packages."""
    path = Path(__file__).with_name(f"{name}.py")
    spec = importlib.util.spec_from_file_location(f"handbook_{name}", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


handbook = _sibling("records")
RECORDS = handbook.records()
BUNDLED = [one for one in installed() if one.module.startswith("fixbook_plugins")]


@pytest.fixture(scope="module")
def calculators() -> dict[str, Calculator]:
    """All bundled calculators by name."""
    return Registry(BUNDLED).calculators()


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.id)
def test_check_value(record, calculators):
    """The calculator gives the value that its source states, or refuses what cannot be."""
    calculator = calculators[record.calculator]
    texts = {calculator.input(name).name: given for name, given in record.texts().items()}
    if record.data.get("refused"):
        with pytest.raises(CalculationError) as refused:
            run(calculator, texts)
        assert record.data.get("input", refused.value.input) == refused.value.input
        return
    answer = run(calculator, texts).answer
    for name, expected in record.data.get("expected", {}).items():
        _compare(answer[name], expected, record.data, name)
    for field in ("verdict", "word"):
        if field in record.data:
            assert getattr(answer, field) == record.data[field]


def _compare(found, expected, data, name):
    if isinstance(expected, list):
        assert len(found) >= len(expected), f"{name}: {found}"
        for one, wanted in zip(found, expected, strict=False):
            _compare(one, wanted, data, name)
    elif isinstance(expected, dict):
        for key, wanted in expected.items():
            _compare(found[key], wanted, data, f"{name}.{key}")
    elif isinstance(expected, bool) or not isinstance(expected, (int, float)):
        assert found == expected, name
    else:
        assert found == pytest.approx(expected, abs=handbook.allowed(expected, data), rel=0), name


def _is_whole(record):
    known = set(record.data) <= handbook.FIELDS and record.data["kind"] in handbook.KINDS
    checks = {"expected", "verdict", "word", "refused"} & set(record.data)
    return known and bool(checks) and bool(record.data["source"].strip())


def test_every_record_is_whole():
    """A record says where its value comes from, in known fields, and checks something."""
    assert [record.id for record in RECORDS if not _is_whole(record)] == []


def test_every_calculator_has_check_values_from_outside(calculators):
    """No calculator ships with fewer than three check values, or with none from outside."""
    counts = Counter(record.calculator for record in RECORDS)
    outside = {record.calculator for record in RECORDS if record.data["kind"] in handbook.OUTSIDE}
    few = {name: counts[name] for name in calculators if counts[name] < 3}
    assert (few, set(calculators) - outside) == ({}, set())


def test_every_record_is_of_a_known_calculator(calculators):
    """No record is left over from a calculator that is gone."""
    assert {record.calculator for record in RECORDS} <= set(calculators)


def test_every_answer_is_explained(calculators):
    """Each answer that a check value meets is among those that the calculator says it gives."""
    unexplained = set()
    for record in RECORDS:
        calculator = calculators[record.calculator]
        names = set(record.data.get("expected", {}))
        unexplained |= {(calculator.name, name) for name in names - set(calculator.gives or {})}
    assert unexplained == set()
