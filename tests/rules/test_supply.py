"""Promises about what is installed beside fixbook."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def audit() -> ModuleType:
    spec = importlib.util.spec_from_file_location("audit", ROOT / ".ci" / "audit.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_no_version_that_may_be_installed_has_a_known_weakness(audit):
    """The lowest versions that pyproject.toml allows are what an old machine has."""
    assert audit.faults(audit.allowed(), audit.known()) == []


def test_an_affected_version_is_named_with_its_advisory(audit, tmp_path):
    """Advisory PYSEC-2021-142 of the Python Packaging Authority names PyYAML before 5.4."""
    project = tmp_path / "pyproject.toml"
    project.write_text(
        '[build-system]\nrequires = []\n[project]\ndependencies = ["PyYAML>=5.3.1"]\n'
        "[project.optional-dependencies]\n"
    )
    (said,) = audit.faults(audit.allowed(project), audit.known())
    assert "pyproject.toml allows pyyaml 5.3.1, which PYSEC-2021-142 names (<5.4)" in said


def test_the_first_version_that_is_mended_is_not_named(audit, tmp_path):
    """The version in which the weakness was mended is outside what the advisory names."""
    project = tmp_path / "pyproject.toml"
    project.write_text(
        '[build-system]\nrequires = []\n[project]\ndependencies = ["PyYAML>=5.4"]\n'
        "[project.optional-dependencies]\n"
    )
    assert audit.faults(audit.allowed(project), audit.known()) == []


def test_each_dependency_has_bounds_and_a_reason():
    """What users install is bounded above and below, and DEVELOPERS.md says why it is needed."""
    import tomllib

    from packaging.requirements import Requirement

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    named = [*project["dependencies"], *(n for key in extras if key != "test" for n in extras[key])]
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    reasons = page.split("## Why each dependency", 1)[1].split("\n## ", 1)[0]
    wanting = [
        one.name
        for one in map(Requirement, named)
        if {bound.operator for bound in one.specifier} != {">=", "<"} or one.name not in reasons
    ]
    assert wanting == []
