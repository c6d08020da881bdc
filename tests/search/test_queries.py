"""How much of the whole list of queries the search answers: no change may lose it again."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest


def load_measure() -> ModuleType:
    """Load the script that measures; it lies beside this file and in no package."""
    spec = importlib.util.spec_from_file_location("measure", Path(__file__).with_name("measure.py"))
    assert spec is not None and spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = made
    spec.loader.exec_module(made)
    return made


@pytest.fixture(scope="module")
def rows(starter_cache: Path, tmp_path_factory: pytest.TempPathFactory) -> Sequence[Any]:
    """The figures of all queries that have an answer, and of all that have none."""
    measure = load_measure()
    home = tmp_path_factory.mktemp("queries")
    shutil.copytree(starter_cache, home / "c")
    index = measure.open_starter(home)
    return [
        measure.figures(list(measure.ask_all(index, measure.read_queries(name))))
        for name in ("queries", "unanswerable")
    ]


@pytest.mark.parametrize(("figure", "least"), [("found", 0.96), ("reciprocal", 0.89)])
def test_queries_are_answered(rows: Sequence[Any], figure: str, least: float) -> None:
    """The share with a right write-up in the first five, and the mean of 1 / its place, hold."""
    assert getattr(rows[0], figure) >= least


def test_good_answers_are_not_called_weak(rows: Sequence[Any]) -> None:
    """Few answers to questions that the book treats carry the warning."""
    assert rows[0].weak <= 0.02


def test_what_has_no_answer_is_called_weak(rows: Sequence[Any]) -> None:
    """Most answers to questions that the book does not treat carry it."""
    assert rows[1].weak >= 0.85
